#include "io/intake/cells.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <utility>

#include "io/source/csv_cell.hpp"
#include "io/source/decimal.hpp"

namespace amphora::intake {
namespace {

constexpr std::string_view minus_sign = "\xE2\x88\x92";  // U+2212
constexpr std::string_view degree_sign = "\xC2\xB0";
/// Blanks that keep a number together, and the apostrophes that Switzerland writes for them.
constexpr std::array<std::string_view, 5> inner_blanks{"\xC2\xA0", "\xE2\x80\xAF", "\xE2\x80\x89", "\xE2\x80\x99", "'"};

std::optional<double> whole_decimal(std::string_view text) {
    const auto number = source::read_decimal(text.data(), text.data() + text.size());
    const bool whole = number.fault == source::NumberFault::none && number.end == text.data() + text.size();
    return whole ? std::optional(number.value) : std::nullopt;
}

/// Digits in groups of three behind one to three others: 1,234 or 12.345.678; then maybe decimals behind `point`.
bool is_grouped(std::string_view text, char group, char point) {
    text = text.substr(0, text.find(point));
    if (text.starts_with('-') || text.starts_with('+')) text.remove_prefix(1);
    std::size_t at = text.find(group);
    if (at == std::string_view::npos || at == 0 || at > 3 || text.front() == '0') return false;
    if (!std::ranges::all_of(text.substr(0, at), source::is_digit)) return false;
    for (; at < text.size(); at += 4) {
        if (text[at] != group || text.size() - at < 4) return false;
        if (!std::ranges::all_of(text.substr(at + 1, 3), source::is_digit)) return false;
    }
    return true;
}

/// With a point for the decimals and nothing between the digits.
std::string plain_digits(std::string_view text, bool decimal_comma) {
    std::string plain(text);
    const char point = decimal_comma ? ',' : '.';
    for (const char group : {decimal_comma ? '.' : ',', ' '})
        if (is_grouped(plain, group, point)) std::erase(plain, group);
    if (decimal_comma) std::ranges::replace(plain, ',', '.');
    return plain;
}

void replace_all(std::string& text, std::string_view what, std::string_view by) {
    for (std::size_t at = 0; (at = text.find(what, at)) != std::string::npos; at += by.size())
        text.replace(at, what.size(), by);
}

}  // namespace

std::string lower_case(std::string_view text) {
    std::string out(text);
    std::ranges::transform(out, out.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return out;
}

bool take_cell(std::string_view& rest, char delimiter, std::string_view& cell, bool& open_quote) {
    if (rest.data() == nullptr) return false;
    if (delimiter == ' ') {
        const auto begin = rest.find_first_not_of(' ');
        if (begin == std::string_view::npos) {
            rest = {};
            return false;
        }
        rest.remove_prefix(begin);
    }
    std::size_t end = rest.find(delimiter);
    const std::size_t quote = rest.substr(0, end).find('"');
    if (quote != std::string_view::npos) {
        const auto length = source::cell_length(rest, delimiter);
        open_quote = open_quote || !length;
        if (length) end = *length;
    }
    cell = rest.substr(0, end);
    const auto plain = [](char c) { return c != ' ' && c != '\t' && c != '"'; };
    if (!cell.empty() && !(plain(cell.front()) && plain(cell.back()))) cell = source::bare_cell(cell);
    rest = end < rest.size() ? rest.substr(end + 1) : std::string_view{};
    return true;
}

std::vector<std::string> cells_of(std::string_view line, char delimiter) {
    std::vector<std::string> cells;
    std::string_view cell;
    bool open_quote = false;
    while (take_cell(line, delimiter, cell, open_quote)) cells.emplace_back(cell);
    return cells;
}

std::optional<Unit> unit_called(std::string_view word) {
    constexpr Unit fahrenheit{5.0 / 9.0, -160.0 / 9.0};
    static constexpr std::array<std::pair<std::string_view, Unit>, 31> all{{
        {"v", {}},
        {"volt", {}},
        {"volts", {}},
        {"mv", {0.001, 0}},
        {"a", {}},
        {"amp", {}},
        {"amps", {}},
        {"ampere", {}},
        {"amperes", {}},
        {"ma", {0.001, 0}},
        {"milliamp", {0.001, 0}},
        {"milliamps", {0.001, 0}},
        {"millivolt", {0.001, 0}},
        {"millivolts", {0.001, 0}},
        {"w", {}},
        {"watt", {}},
        {"watts", {}},
        {"kw", {1000, 0}},
        {"mw", {0.001, 0}},
        {"c", {}},
        {"degc", {}},
        {"deg c", {}},
        {"celsius", {}},
        {"f", fahrenheit},
        {"degf", fahrenheit},
        {"deg f", fahrenheit},
        {"fahrenheit", fahrenheit},
        {"k", {1, -273.15}},
        {"kelvin", {1, -273.15}},
        {"vdc", {}},
        {"adc", {}},
    }};
    std::string plain(word);
    replace_all(plain, degree_sign, "");
    const auto found = std::ranges::find(all, std::string_view(plain), &std::pair<std::string_view, Unit>::first);
    return found == all.end() ? std::nullopt : std::optional(found->second);
}

std::optional<CellNumber> number_in(std::string_view cell, bool decimal_comma) {
    const bool grouped = decimal_comma && is_grouped(cell, '.', ',');
    if (!grouped)
        if (const auto value = whole_decimal(cell)) return CellNumber{*value, {}};
    if (cell.empty() || cell.size() > 40) return std::nullopt;
    if (cell.size() > 2 && cell.front() == '(' && cell.back() == ')') {  // as book-keepers write what is below zero
        const auto number = number_in(cell.substr(1, cell.size() - 2), decimal_comma);
        return number && number->value >= 0.0 ? std::optional(CellNumber{-number->value, number->unit}) : std::nullopt;
    }
    std::string text(cell);
    replace_all(text, minus_sign, "-");
    for (const auto blank : inner_blanks) replace_all(text, blank, " ");
    const std::size_t digits = text.find_last_of("0123456789");
    if (digits == std::string::npos) return std::nullopt;
    std::string word = lower_case(source::bare_cell(std::string_view(text).substr(digits + 1)));
    if (word.starts_with('.') || word.starts_with(',')) word.erase(0, 1);
    const auto unit = word.empty() ? std::nullopt : unit_called(word);
    if (!word.empty() && !unit) return std::nullopt;
    const auto value = whole_decimal(plain_digits(std::string_view(text).substr(0, digits + 1), decimal_comma));
    return value ? std::optional(CellNumber{*value, unit}) : std::nullopt;
}

bool may_be_grouped(std::string_view cell, char comma_or_point) {
    return is_grouped(cell, comma_or_point, comma_or_point == ',' ? '.' : ',');
}

bool says_nothing(std::string_view cell) {
    constexpr std::array<std::string_view, 15> words{"-",     "--",      "---",     "n/a",         "#n/a",
                                                     "none",  "null",    "unknown", "unavailable", "err",
                                                     "error", "no data", "missing", "invalid",     "?"};
    if (!cell.empty() && source::is_digit(cell.back())) return false;
    if (source::says_missing(cell)) return true;
    if (cell == "\xE2\x80\x93" || cell == "\xE2\x80\x94") return true;  // an en dash, an em dash
    return cell.size() <= 11 && std::ranges::find(words, lower_case(cell)) != words.end();
}

bool says_beyond(std::string_view cell) {
    constexpr std::array<std::string_view, 9> words{"ol",   "o.l",      "o.l.",     "ovl",      "ovld",
                                                    "over", "overload", "overflow", "overrange"};
    if (cell.empty() || cell.size() > 10) return false;
    if (cell.front() == '-' || cell.front() == '+') cell.remove_prefix(1);
    return std::ranges::find(words, lower_case(cell)) != words.end();
}

}  // namespace amphora::intake
