#include "io/source/bad_line.hpp"

#include <fmt/core.h>

#include <algorithm>

namespace amphora::source {
namespace {

std::string what(const BadLine& bad) {
    switch (bad.fault) {
        case LineFault::none:
            return "can be read";
        case LineFault::too_long:
            return "longer than 64 KiB; expected a line per reading";
        case LineFault::too_few_cells:
            return fmt::format("too few cells in \"{}\"; expected as many as the header has", bad.text);
        case LineFault::too_many_cells:
            return fmt::format("too many cells in \"{}\"; expected as many as the header has", bad.text);
        case LineFault::open_quote:
            return fmt::format("a quote that does not enclose a cell, in \"{}\"", bad.text);
        case LineFault::time_missing:
            return fmt::format("no time in {}", bad.column);
        case LineFault::time_malformed:
            return fmt::format(
                "\"{}\" in {} is no time; expected unix seconds such as 1777593600.5, or RFC 3339 such as "
                "2026-05-01T00:00:00Z",
                bad.text, bad.column);
        case LineFault::time_out_of_range:
            return fmt::format("\"{}\" in {} is not in the years 1970 to 9999; expected seconds (milliseconds?)",
                               bad.text, bad.column);
        case LineFault::not_a_number:
            return fmt::format("\"{}\" in {} is no number; expected one such as -12.34, or nothing", bad.text,
                               bad.column);
        case LineFault::number_out_of_range:
            return fmt::format("\"{}\" in {} is larger than any meter shows; expected less than a million", bad.text,
                               bad.column);
    }
    return "unknown";
}

}  // namespace

std::string bad_line_words(const BadLine& bad) { return fmt::format("line {}: {}", bad.number, what(bad)); }

std::string excerpt(std::string_view text) {
    constexpr std::size_t longest = 48;
    return text.size() > longest ? printable(text.substr(0, longest)) + "..." : printable(text);
}

std::string printable(std::string_view text) {
    std::string shown(text);
    std::ranges::replace_if(shown, [](char c) { return c < ' ' || c > '~'; }, '?');
    return shown;
}

}  // namespace amphora::source
