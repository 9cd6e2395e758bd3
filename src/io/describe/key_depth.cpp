#include "io/describe/key_depth.hpp"

#include <algorithm>
#include <string>

namespace amphora::describe {
namespace {

// The length of the string that begins at `text`, its quotes included. A string on one line ends at the line's end even
// if it is not closed: the library stops there too.
std::size_t string_length(std::string_view text) {
    const char quote = text.front();
    const std::string triple(3, quote);
    if (!text.starts_with(triple)) {
        std::size_t i = 1;
        while (i < text.size() && text[i] != quote && text[i] != '\n') i += quote == '"' && text[i] == '\\' ? 2 : 1;
        return std::min(text.size(), i < text.size() && text[i] == '\n' ? i : i + 1);
    }
    std::size_t i = 3;
    while (i < text.size() && !text.substr(i).starts_with(triple)) i += quote == '"' && text[i] == '\\' ? 2 : 1;
    i = std::min(text.size(), i + 3);
    for (int more = 0; more < 2 && i < text.size() && text[i] == quote; ++more) ++i;  // quotes before the closing three
    return i;
}

Position position_of(std::string_view before) {
    const auto line = std::ranges::count(before, '\n') + 1;
    const auto start = before.rfind('\n') + 1;  // npos + 1 is 0
    return {static_cast<std::uint32_t>(line), static_cast<std::uint32_t>(before.size() - start + 1)};
}

}  // namespace

std::optional<Position> too_deep_key(std::string_view text) {
    int dots = 0;
    for (std::size_t i = 0; i < text.size();) {
        switch (text[i]) {
            case '#':
                i = std::min(text.size(), text.find('\n', i));
                break;
            case '"':
            case '\'':
                i += string_length(text.substr(i));
                break;
            case '.':
                if (++dots > most_dots) return position_of(text.substr(0, i));
                ++i;
                break;
            case '\n':
            case '=':
            case ',':
            case '[':
            case ']':
            case '{':
            case '}':
                dots = 0;
                [[fallthrough]];
            default:
                ++i;
        }
    }
    return std::nullopt;
}

}  // namespace amphora::describe
