#include <algorithm>
#include <array>
#include <cctype>
#include <string>

#include "io/intake/cells.hpp"

namespace amphora::intake {
namespace {

bool digit(char c) { return std::isdigit(static_cast<unsigned char>(c)) != 0; }

/// Digits and the three marks given, which must not stand side by side.
std::size_t run_of(std::string_view text, std::string_view marks) {
    std::size_t at = 0;
    while (at < text.size() && (digit(text[at]) || (at > 0 && digit(text[at - 1]) && marks.contains(text[at])))) ++at;
    return at;
}

/// 2026-05-01, 1/5/26, 01.05.2026
bool is_date(std::string_view text) {
    if (text.ends_with(',')) text.remove_suffix(1);
    return run_of(text, "-/.") == text.size() && text.size() >= 6 && digit(text.back()) &&
           std::ranges::count_if(text, [](char c) { return !digit(c); }) == 2;
}

/// +0100, -03:30
bool is_offset(std::string_view text) {
    if (text.empty() || (text.front() != '+' && text.front() != '-')) return false;
    text.remove_prefix(1);
    return (text.size() == 4 && run_of(text, "") == 4) || (text.size() == 5 && run_of(text, ":") == 5);
}

/// 8:00, 08:00:00.123Z, 08:00:00,5+01:00, 8:00:00PM
bool is_clock(std::string_view text) {
    const std::size_t end = run_of(text, ":.,");
    if (text.substr(0, end).find(':') == std::string_view::npos || !digit(text[end - 1])) return false;
    const std::string_view rest = text.substr(end);
    return rest.empty() || rest == "Z" || is_offset(rest) || (rest.size() == 2 && (rest[1] == 'M' || rest[1] == 'm'));
}

bool is_letters(std::string_view text) {
    if (text.ends_with(',') || text.ends_with('.')) text.remove_suffix(1);
    return !text.empty() && text.size() <= 9 &&
           std::ranges::all_of(text, [](unsigned char c) { return std::isalpha(c) != 0 || c >= 0x80; });
}

bool is_short_number(std::string_view text) {
    if (text.ends_with(',') || text.ends_with('.')) text.remove_suffix(1);
    return !text.empty() && text.size() <= 4 && std::ranges::all_of(text, digit);
}

}  // namespace

bool is_moment(std::string_view cell) {
    bool date = false;
    bool clock = false;
    bool word = false;
    bool number = false;
    while (!cell.empty()) {
        const std::size_t end = std::min(cell.find(' '), cell.size());
        const std::string_view token = cell.substr(0, end);
        cell.remove_prefix(std::min(end + 1, cell.size()));
        const std::size_t joint = token.find('T');
        if (token.empty()) continue;
        if (joint != std::string_view::npos && is_date(token.substr(0, joint)) && is_clock(token.substr(joint + 1)))
            date = clock = true;
        else if (is_date(token))
            date = true;
        else if (is_clock(token))
            clock = true;
        else if (is_letters(token))
            word = true;
        else if (is_short_number(token))
            number = true;
        else if (!(clock && is_offset(token)))
            return false;
    }
    // 5 May 2026 has numbers of its own; beside a date there is none.
    return number ? word && !date : date || clock;
}

}  // namespace amphora::intake
