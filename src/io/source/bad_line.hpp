// A line of a log that could not be read: which, why, and what was expected instead.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace amphora::source {

enum class LineFault : std::uint8_t {
    none,
    too_long,
    too_few_cells,
    too_many_cells,
    open_quote,
    time_missing,
    time_malformed,
    time_out_of_range,
    not_a_number,
    number_out_of_range
};

/// A value beyond this, in any unit, is no reading of a meter but a fault of the log.
constexpr double largest_value = 1e6;

struct BadLine {
    std::uint64_t number = 0;  // of the line, from 1
    LineFault fault = LineFault::none;
    std::string column;  // its name, where the fault lies in one cell
    std::string text;    // of the cell or else the line: its beginning, what cannot be printed replaced by '?'
};

/// One line of text for a person: where, what, and what was expected. No full stop.
std::string bad_line_words(const BadLine& bad);

/// The beginning of a text of unknown origin, safe to show.
std::string excerpt(std::string_view text);

/// All of it, on one line, what is no plain ASCII replaced by '?'.
std::string printable(std::string_view text);

}  // namespace amphora::source
