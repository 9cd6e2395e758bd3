// What a server said over one connection, taken apart as RFC 9112 says; strict, so that a fault of the server shows.
#pragma once

#include <charconv>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace amphora::web {

struct Answer {
    int status = 0;
    std::string head;  // status line and headers, with the blank line
    std::string body;

    [[nodiscard]] std::optional<std::string> header(std::string_view name) const {
        const std::size_t at = head.find("\r\n" + std::string(name) + ": ");
        if (at == std::string::npos) return std::nullopt;
        const std::size_t from = at + name.size() + 4;
        return head.substr(from, head.find("\r\n", from) - from);
    }
};

/// Nothing where the text is not a sequence of whole responses. `heads_only`: all are answers to HEAD.
inline std::optional<std::vector<Answer>> answers_in(std::string_view text, bool heads_only = false) {
    std::vector<Answer> all;
    const auto number = [](std::string_view digits, int base) -> std::optional<std::size_t> {
        std::size_t value = 0;
        const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value, base);
        if (error != std::errc() || end != digits.data() + digits.size()) return std::nullopt;
        return value;
    };
    while (!text.empty()) {
        const std::size_t end = text.find("\r\n\r\n");
        if (end == std::string_view::npos || !text.starts_with("HTTP/1.1 ") || text.size() < 13) return std::nullopt;
        Answer answer;
        answer.head = text.substr(0, end + 4);
        text.remove_prefix(end + 4);
        const auto status = number(std::string_view(answer.head).substr(9, 3), 10);
        if (!status || answer.head[12] != ' ') return std::nullopt;
        answer.status = static_cast<int>(*status);
        const auto length = answer.header("Content-Length");
        const bool chunked = answer.header("Transfer-Encoding") == "chunked";
        if (length && chunked) return std::nullopt;
        const bool stream = answer.header("Content-Type") == "text/event-stream";
        if (heads_only || answer.status == 304 || answer.status == 100) {
        } else if (length) {
            const auto size = number(*length, 10);
            if (!size || text.size() < *size) return std::nullopt;
            answer.body = text.substr(0, *size);
            text.remove_prefix(*size);
        } else if (chunked) {
            for (std::size_t size = 1; size > 0;) {
                const std::size_t line = text.find("\r\n");
                const auto said = number(text.substr(0, line), 16);
                if (line == std::string_view::npos || !said || text.size() < line + 4 + *said) return std::nullopt;
                size = *said;
                answer.body += text.substr(line + 2, size);
                if (text.substr(line + 2 + size, 2) != "\r\n") return std::nullopt;
                text.remove_prefix(line + 4 + size);
            }
        } else if (stream) {
            answer.body = text;
            text = {};
        } else {
            return std::nullopt;
        }
        all.push_back(std::move(answer));
    }
    return all;
}

}  // namespace amphora::web
