#include "io/live/socket_client.hpp"

#include <fmt/format.h>
#include <poll.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <system_error>
#include <utility>

namespace amphora::live {
namespace {

constexpr std::chrono::milliseconds usual_patience(5000);

/// A descriptor connected to `path`, or the error's number.
std::expected<int, int> connected_to(const std::string& path) {
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    if (path.size() >= sizeof address.sun_path) return std::unexpected(ENAMETOOLONG);
    std::memcpy(address.sun_path, path.data(), path.size());
    const int descriptor = ::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
    if (descriptor >= 0 && ::connect(descriptor, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0)
        return descriptor;
    const int error = errno;
    if (descriptor >= 0) ::close(descriptor);
    return std::unexpected(error);
}

}  // namespace

std::expected<SocketClient, std::string> SocketClient::connect(const std::filesystem::path& path) {
    const std::string name = path.string();
    const auto descriptor = connected_to(name);
    if (descriptor) return SocketClient(*descriptor);
    if (descriptor.error() == ENAMETOOLONG)
        return std::unexpected(fmt::format("{}: too long for the path of a socket", name));
    if (descriptor.error() == EACCES)
        return std::unexpected(fmt::format("{}: you may not ask this recorder; join the group amphora", name));
    return std::unexpected(fmt::format("{}: no recorder answers there ({}); is it running?", name,
                                       std::generic_category().message(descriptor.error())));
}

SocketClient::SocketClient(SocketClient&& other) noexcept
    : descriptor_(std::exchange(other.descriptor_, -1)), connected_(other.connected_), read_(std::move(other.read_)) {}

SocketClient& SocketClient::operator=(SocketClient&& other) noexcept {
    std::swap(descriptor_, other.descriptor_);
    std::swap(connected_, other.connected_);
    std::swap(read_, other.read_);
    return *this;
}

SocketClient::~SocketClient() {
    if (descriptor_ >= 0) ::close(descriptor_);
}

bool SocketClient::send(const Json& question) {
    const std::string line = question.dump() + "\n";
    return ::send(descriptor_, line.data(), line.size(), MSG_NOSIGNAL) == static_cast<ssize_t>(line.size());
}

std::expected<SocketClient::Json, std::string> SocketClient::ask(const std::string& name, Json arguments) {
    arguments["ask"] = name;
    if (!send(arguments)) return std::unexpected("the recorder has gone");
    auto answer = next(usual_patience);
    if (!answer) return std::unexpected(answer.error());
    if (answer->is_object() && answer->contains("error")) return std::unexpected(answer->value("error", "refused"));
    if (!answer->is_object() || !answer->contains(name)) return std::unexpected("the recorder answered in another way");
    return (*answer)[name];
}

std::expected<SocketClient::Json, std::string> SocketClient::next(std::chrono::milliseconds patience) {
    const auto end = std::chrono::steady_clock::now() + patience;
    for (;;) {
        if (const auto at = read_.find('\n'); at != std::string::npos) {
            Json line = Json::parse(read_.substr(0, at), nullptr, false);
            read_.erase(0, at + 1);
            if (line.is_discarded()) return std::unexpected("the recorder's answer is no JSON");
            return line;
        }
        const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(end - std::chrono::steady_clock::now());
        pollfd wait{descriptor_, POLLIN, 0};
        if (left.count() <= 0 || ::poll(&wait, 1, static_cast<int>(left.count())) == 0)
            return std::unexpected("the recorder does not answer");
        std::array<char, 4096> room{};
        const ssize_t got = ::recv(descriptor_, room.data(), room.size(), 0);
        if (got <= 0) {
            connected_ = false;
            return std::unexpected("the recorder has gone");
        }
        read_.append(room.data(), static_cast<std::size_t>(got));
    }
}

std::optional<pid_t> process_behind(const std::filesystem::path& path) {
    const auto descriptor = connected_to(path.string());
    if (!descriptor) return std::nullopt;
    ucred who{};
    socklen_t size = sizeof who;
    const bool known = ::getsockopt(*descriptor, SOL_SOCKET, SO_PEERCRED, &who, &size) == 0;
    ::close(*descriptor);
    return known ? std::optional(who.pid) : std::nullopt;
}

}  // namespace amphora::live
