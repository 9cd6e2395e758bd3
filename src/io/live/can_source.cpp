#include <fmt/format.h>
#include <linux/can.h>
#include <linux/can/raw.h>
#include <net/if.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <expected>
#include <vector>

#include "io/live/rvc_source.hpp"

namespace amphora::live {
namespace {

std::unexpected<std::string> failure(int descriptor, const std::string& interface, std::string_view what) {
    const int code = errno;
    if (descriptor >= 0) ::close(descriptor);
    return std::unexpected(fmt::format("{}: {}: {}", interface, what, std::strerror(code)));
}

// The known groups from any sender with any priority, and nothing else: the kernel sorts the rest out.
std::vector<can_filter> filters() {
    std::vector<can_filter> all;
    for (const rvc::Dgn group : rvc::known_groups())
        all.push_back({(group << 8U) | CAN_EFF_FLAG, (0x3'FFFFU << 8U) | CAN_EFF_FLAG | CAN_RTR_FLAG});
    return all;
}

std::expected<int, std::string> open_can(const std::string& interface) {
    const int descriptor = ::socket(PF_CAN, SOCK_RAW | SOCK_NONBLOCK | SOCK_CLOEXEC, CAN_RAW);
    if (descriptor < 0) return failure(descriptor, interface, "this computer has no CAN");
    const auto wanted = filters();
    const auto bytes = static_cast<socklen_t>(wanted.size() * sizeof(can_filter));
    if (::setsockopt(descriptor, SOL_CAN_RAW, CAN_RAW_FILTER, wanted.data(), bytes) != 0)
        return failure(descriptor, interface, "its frames cannot be filtered");
    sockaddr_can address{};
    address.can_family = AF_CAN;
    address.can_ifindex = static_cast<int>(::if_nametoindex(interface.c_str()));
    if (address.can_ifindex == 0) return failure(descriptor, interface, "there is no such interface");
    if (::bind(descriptor, reinterpret_cast<const sockaddr*>(&address), sizeof address) != 0)
        return failure(descriptor, interface, "cannot be listened to");
    return descriptor;
}

rvc::CanFrame from_kernel(const can_frame& raw) {
    rvc::CanFrame frame;
    frame.extended = (raw.can_id & CAN_EFF_FLAG) != 0;
    if ((raw.can_id & CAN_RTR_FLAG) != 0) frame.kind = rvc::FrameKind::remote;
    if ((raw.can_id & CAN_ERR_FLAG) != 0) frame.kind = rvc::FrameKind::error;
    frame.id = raw.can_id & (frame.extended ? CAN_EFF_MASK : CAN_SFF_MASK);
    frame.length = std::min<std::uint8_t>(raw.len, CAN_MAX_DLEN);
    std::copy_n(std::begin(raw.data), frame.bytes.size(), frame.bytes.begin());
    return frame;
}

}  // namespace

void CanSource::open() {
    const auto descriptor = open_can(description().at);
    if (!descriptor) return broken(descriptor.error());
    boost::system::error_code error;
    error = stream_.assign(*descriptor, error);
    if (error) {
        ::close(*descriptor);
        return broken(fmt::format("{}: {}", description().at, error.message()));
    }
    opened();
    read();
}

void CanSource::close() {
    boost::system::error_code ignored;
    ignored = stream_.close(ignored);
}

void CanSource::read() {
    using boost::asio::posix::stream_descriptor;
    stream_.async_wait(stream_descriptor::wait_read, [this, mine = run()](boost::system::error_code error) {
        if (mine != run()) return;
        if (error) return broken(fmt::format("{}: {}", description().at, error.message()));
        can_frame raw{};
        for (;;) {
            const auto got = ::read(stream_.native_handle(), &raw, sizeof raw);
            if (got < 0 && (errno == EAGAIN || errno == EINTR)) break;
            if (got != static_cast<ssize_t>(sizeof raw))
                return broken(
                    fmt::format("{}: {}", description().at, got < 0 ? std::strerror(errno) : "a frame came in pieces"));
            frame(from_kernel(raw));
            if (mine != run()) return;  // the sink ended this source
        }
        read();
    });
}

}  // namespace amphora::live
