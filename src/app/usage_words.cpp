#include "app/usage_words.hpp"

#include <fmt/format.h>

namespace amphora::app {
namespace {

/// "a,b,c" as "a, b or c".
std::string one_of(std::string_view list) {
    std::string words;
    while (!list.empty()) {
        const auto comma = list.find(',');
        const bool last = comma == std::string_view::npos;
        words += words.empty() ? "" : last ? " or " : ", ";
        words += list.substr(0, comma);
        list = last ? std::string_view{} : list.substr(comma + 1);
    }
    return words;
}

/// "0.100000" as "0.1".
std::string short_number(std::string_view text) {
    if (text.find('.') == std::string_view::npos) return std::string(text);
    const auto end = text.find_last_not_of('0');
    return std::string(text.substr(0, text[end] == '.' ? end : end + 1));
}

}  // namespace

std::string usage_words(std::string_view says) {
    const auto colon = says.find(": ");
    if (colon == std::string_view::npos) return std::string(says);
    const auto name = says.substr(0, colon);
    auto rest = says.substr(colon + 2);
    constexpr std::string_view list = " not in {", range = " not in range ", to = " to ", value = "Value ";
    if (const auto at = rest.find(list); at != std::string_view::npos && rest.ends_with('}'))
        return fmt::format("{} takes {}, not \"{}\"", name,
                           one_of(rest.substr(at + list.size(), rest.size() - at - list.size() - 1)),
                           rest.substr(0, at));
    const auto at = rest.find(range);
    const auto between = rest.rfind(to);
    if (!rest.starts_with(value) || at == std::string_view::npos || between == std::string_view::npos || between < at)
        return std::string(says);
    return fmt::format("{} takes a number from {} to {}, not \"{}\"", name,
                       short_number(rest.substr(at + range.size(), between - at - range.size())),
                       short_number(rest.substr(between + to.size())), rest.substr(value.size(), at - value.size()));
}

}  // namespace amphora::app
