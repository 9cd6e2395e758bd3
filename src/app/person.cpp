#include "app/person.hpp"

#include <fmt/core.h>
#include <poll.h>
#include <unistd.h>

#include <array>

#include "app/terminal.hpp"

namespace amphora::app {

void Person::tell(const std::string& text) { fmt::print(stderr, "{}\n", text); }

void Person::progress(const std::string& text) {
    if (!is_watched(stderr)) return;
    fmt::print(stderr, "\r\x1b[K{}", text);
    std::fflush(stderr);
    shows_ = true;
}

void Person::end_progress() {
    if (shows_) fmt::print(stderr, "\n");
    shows_ = false;
}

std::optional<std::string> Person::line(std::chrono::milliseconds patience) {
    const auto whole = [this]() -> std::optional<std::string> {
        const auto end = typed_.find('\n');
        if (end == std::string::npos) return std::nullopt;
        std::string first = typed_.substr(0, end);
        typed_.erase(0, end + 1);
        return first;
    };
    if (auto first = whole()) return first;
    pollfd input{.fd = STDIN_FILENO, .events = POLLIN, .revents = 0};
    if (gone_ || poll(&input, 1, static_cast<int>(patience.count())) <= 0) return std::nullopt;
    std::array<char, 512> room{};
    const auto got = read(STDIN_FILENO, room.data(), room.size());
    if (got <= 0) {
        gone_ = true;
        return std::nullopt;
    }
    typed_.append(room.data(), static_cast<std::size_t>(got));
    return whole();
}

}  // namespace amphora::app
