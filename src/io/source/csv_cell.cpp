#include "io/source/csv_cell.hpp"

#include <algorithm>
#include <array>

namespace amphora::source {
namespace {

std::string_view without_blanks(std::string_view text) {
    const auto first = text.find_first_not_of(" \t");
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

constexpr char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

}  // namespace

std::optional<std::size_t> cell_length(std::string_view line, char separator) {
    const auto start = line.find_first_not_of(separator == '\t' ? " " : " \t");
    std::size_t behind_quotes = 0;
    if (start != std::string_view::npos && line[start] == '"') {
        auto close = line.find('"', start + 1);
        while (close != std::string_view::npos && close + 1 < line.size() && line[close + 1] == '"')
            close = line.find('"', close + 2);  // "" inside quotes stands for one quote
        if (close == std::string_view::npos) return std::nullopt;
        behind_quotes = close + 1;
    }
    const auto end = std::min(line.find(separator, behind_quotes), line.size());
    if (behind_quotes > 0 && !without_blanks(line.substr(behind_quotes, end - behind_quotes)).empty())
        return std::nullopt;
    return end;
}

std::string_view bare_cell(std::string_view cell) {
    cell = without_blanks(cell);
    if (cell.size() >= 2 && cell.front() == '"' && cell.back() == '"')
        cell = without_blanks(cell.substr(1, cell.size() - 2));
    return cell;
}

bool says_missing(std::string_view bare) {
    constexpr std::array<std::string_view, 4> words{"nan", "-nan", "na", "null"};
    return bare.empty() || std::ranges::any_of(words, [bare](std::string_view word) {
               return std::ranges::equal(bare, word, {}, lower);
           });
}

}  // namespace amphora::source
