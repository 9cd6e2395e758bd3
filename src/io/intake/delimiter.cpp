#include "io/intake/delimiter.hpp"

#include <algorithm>
#include <cctype>
#include <map>
#include <string>

#include "io/intake/cells.hpp"

namespace amphora::intake {
namespace {

constexpr std::string_view candidates = ";\t,| ";  // of equals the first

bool is_letter(char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0 || (c & 0x80) != 0; }

/// Words may hold digits behind their first letter, but nothing that would part them.
bool is_word(std::string_view cell) {
    return std::ranges::none_of(cell, [](unsigned char c) { return std::isdigit(c) != 0; }) ||
           (is_letter(cell.front()) && cell.find_first_of(candidates.substr(0, 4)) == std::string_view::npos);
}

bool is_clean(std::string_view cell) {
    return says_nothing(cell) || is_word(cell) || is_moment(cell) || number_in(cell, false) || number_in(cell, true);
}

/// Share of clean cells, summed up over the lines that have as many cells as most.
double score_of(const std::vector<std::string_view>& lines, char delimiter) {
    std::map<std::size_t, std::pair<std::size_t, double>> by_width;  // lines, score
    for (const auto line : lines) {
        const auto cells = cells_of(line, delimiter);
        if (cells.size() < 2) continue;
        auto& [count, score] = by_width[cells.size()];
        ++count;
        score += static_cast<double>(std::ranges::count_if(cells, is_clean)) / static_cast<double>(cells.size());
    }
    const auto most = std::ranges::max_element(by_width, {}, [](const auto& entry) { return entry.second.first; });
    return most == by_width.end() ? 0.0 : most->second.second;
}

}  // namespace

char delimiter_of(const std::vector<std::string_view>& lines) {
    char best = ',';
    double best_score = 0.0;
    for (const char candidate : candidates) {
        const double score = score_of(lines, candidate);
        if (score <= best_score) continue;
        best_score = score;
        best = candidate;
    }
    return best;
}

}  // namespace amphora::intake
