#include "io/live/supervisor_note.hpp"

#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <cstddef>
#include <cstdlib>
#include <cstring>

#include "io/source/decimal.hpp"

namespace amphora::live {

SupervisorNote::SupervisorNote() {
    if (const char* name = std::getenv("NOTIFY_SOCKET"); name != nullptr) socket_ = name;
    if (const char* usec = std::getenv("WATCHDOG_USEC"); usec != nullptr && !socket_.empty()) {
        const auto read = source::read_decimal(usec, usec + std::strlen(usec));
        if (read.fault == source::NumberFault::none && read.value > 0) watchdog_ = Second(read.value / 1e6);
    }
}

void SupervisorNote::send(const std::string& note) const {
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    if (socket_.empty() || socket_.size() >= sizeof address.sun_path) return;
    std::memcpy(address.sun_path, socket_.data(), socket_.size());
    if (socket_.front() == '@') address.sun_path[0] = '\0';  // Linux's abstract names
    const int descriptor = ::socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
    if (descriptor < 0) return;
    const auto length = static_cast<socklen_t>(offsetof(sockaddr_un, sun_path) + socket_.size());
    (void)::sendto(descriptor, note.data(), note.size(), MSG_NOSIGNAL, reinterpret_cast<const sockaddr*>(&address),
                   length);
    ::close(descriptor);
}

}  // namespace amphora::live
