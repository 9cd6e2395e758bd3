#include "io/text/nearest.hpp"

#include <algorithm>
#include <array>
#include <vector>

namespace amphora::text {
namespace {

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

// Words longer than this are not typing slips; it bounds the work on hostile input.
constexpr std::size_t longest_word = 64;
// Parts of a word shorter than this are in too many others.
constexpr std::size_t shortest_part = 4;
constexpr std::size_t longest_abbreviation = 3;

std::optional<std::string_view> fewest_edits(std::string_view word, std::span<const std::string_view> known) {
    std::optional<std::string_view> best;
    std::size_t least = 0;
    for (const auto candidate : known) {
        const auto distance = edit_distance(word, candidate);
        const auto enough = std::max<std::size_t>(1, std::max(word.size(), candidate.size()) / 3);
        if (distance <= enough && (!best || distance < least)) {
            best = candidate;
            least = distance;
        }
    }
    return best;
}

// True if `brief` has a few letters, begins as the word does, and all its letters are in it in that order.
bool abbreviates(std::string_view brief, std::string_view word) {
    if (brief.empty() || brief.size() > longest_abbreviation || lower(brief.front()) != lower(word.front()))
        return false;
    for (const char c : word)
        if (!brief.empty() && lower(c) == lower(brief.front())) brief.remove_prefix(1);
    return brief.empty();
}

}  // namespace

std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::array<std::vector<std::size_t>, 3> rows;  // the row above the last one, the last one, this one
    for (auto& row : rows) row.resize(b.size() + 1);
    auto& [before, above, here] = rows;
    for (std::size_t j = 0; j <= b.size(); ++j) above[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        here[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const auto same = lower(a[i - 1]) == lower(b[j - 1]);
            here[j] = std::min({above[j] + 1, here[j - 1] + 1, above[j - 1] + (same ? 0U : 1U)});
            if (i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) && lower(a[i - 2]) == lower(b[j - 1]))
                here[j] = std::min(here[j], before[j - 2] + 1);
        }
        before.swap(above);
        above.swap(here);
    }
    return above[b.size()];
}

std::optional<std::string_view> nearest(std::string_view word, std::span<const std::string_view> known) {
    if (word.empty() || word.size() > longest_word) return std::nullopt;
    if (const auto best = fewest_edits(word, known)) return best;
    const auto holding = std::ranges::find_if(
        known, [&](std::string_view k) { return word.size() >= shortest_part && k.contains(word); });
    if (holding != known.end()) return *holding;
    const auto brief = std::ranges::find_if(known, [&](std::string_view k) { return abbreviates(k, word); });
    if (brief != known.end()) return *brief;
    return std::nullopt;
}

}  // namespace amphora::text
