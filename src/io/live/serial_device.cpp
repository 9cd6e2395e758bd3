#include "io/live/serial_device.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/ioctl.h>
#include <termios.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <optional>
#include <system_error>
#include <utility>

namespace amphora::live {
namespace {

std::string error_text(int error) { return std::generic_category().message(error); }

std::optional<speed_t> speed_of(int baud) {
    static constexpr std::array<std::pair<int, speed_t>, 19> known{{{300, B300},
                                                                    {600, B600},
                                                                    {1200, B1200},
                                                                    {2400, B2400},
                                                                    {4800, B4800},
                                                                    {9600, B9600},
                                                                    {19200, B19200},
                                                                    {38400, B38400},
                                                                    {57600, B57600},
                                                                    {115200, B115200},
                                                                    {230400, B230400},
                                                                    {460800, B460800},
                                                                    {500000, B500000},
                                                                    {576000, B576000},
                                                                    {921600, B921600},
                                                                    {1000000, B1000000},
                                                                    {1500000, B1500000},
                                                                    {2000000, B2000000},
                                                                    {4000000, B4000000}}};
    for (const auto& [number, speed] : known)
        if (number == baud) return speed;
    return std::nullopt;
}

bool make_raw(int descriptor, speed_t speed, described::Parity parity) {
    termios t{};
    if (tcgetattr(descriptor, &t) != 0) return false;
    cfmakeraw(&t);
    cfsetspeed(&t, speed);
    t.c_cflag |= CLOCAL | CREAD;
    // Many microcontrollers start anew when the line's "terminal ready" falls: leave it up when the program ends.
    t.c_cflag &= ~static_cast<tcflag_t>(HUPCL | CSTOPB | CRTSCTS);
    if (parity != described::Parity::none) t.c_cflag |= PARENB;
    if (parity == described::Parity::odd) t.c_cflag |= PARODD;
    return tcsetattr(descriptor, TCSANOW, &t) == 0;
}

}  // namespace

std::expected<int, std::string> open_serial(const std::string& device, const described::SerialLine& line) {
    const auto speed = speed_of(line.baud);
    if (!speed) return std::unexpected(fmt::format("{}: {} baud is no speed of a serial line", device, line.baud));
    const int descriptor = ::open(device.c_str(), O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
    if (descriptor < 0) return std::unexpected(fmt::format("{}: {}", device, error_text(errno)));
    if (!make_raw(descriptor, *speed, line.parity)) {
        const int error = errno;
        ::close(descriptor);
        return std::unexpected(fmt::format("{}: not a serial device ({})", device, error_text(error)));
    }
    ::ioctl(descriptor, TIOCEXCL);
    return descriptor;
}

std::expected<int, std::string> duplicate_input() {
    const int descriptor = ::fcntl(STDIN_FILENO, F_DUPFD_CLOEXEC, 3);
    if (descriptor < 0) return std::unexpected("the standard input is closed");
    return descriptor;
}

}  // namespace amphora::live
