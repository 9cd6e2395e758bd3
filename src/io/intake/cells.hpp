// The cells of a line, and the numbers in them, as logs of all makes write them.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace amphora::intake {

/// Cuts the first cell off `rest`, bare of blanks and quotes. A blank as delimiter stands for any number of blanks.
/// False when there is none left; `open_quote` tells that its quote was not closed.
bool take_cell(std::string_view& rest, char delimiter, std::string_view& cell, bool& open_quote);

/// All cells of a line.
[[nodiscard]] std::vector<std::string> cells_of(std::string_view line, char delimiter);

/// What a unit makes of a number: number * scale + offset in volts, amperes, watts or degrees Celsius.
struct Unit {
    double scale = 1.0;
    double offset = 0.0;
};

/// The unit that a word in lower case means ("mv", "amps", "\u00B0f"); nothing for other words.
[[nodiscard]] std::optional<Unit> unit_called(std::string_view word);

struct CellNumber {
    double value = 0.0;
    std::optional<Unit> unit;  // when the cell carries one
};

/// The number in a cell: with a decimal comma if need be (points then stand between thousands), digits in groups, a
/// minus of any make or brackets for it, and perhaps its unit. Nothing when it is none.
[[nodiscard]] std::optional<CellNumber> number_in(std::string_view cell, bool decimal_comma);

/// True for a number whose commas (or points) may group digits as well as begin decimals: 12,800.
[[nodiscard]] bool may_be_grouped(std::string_view cell, char comma_or_point);

/// True where nothing was measured: empty, nan, n/a, null, a dash, an error.
[[nodiscard]] bool says_nothing(std::string_view cell);

/// True where a meter says that it cannot show so much: OL, overload (common practice, no source).
[[nodiscard]] bool says_beyond(std::string_view cell);

/// True for a date, a time of day or both, as logs write them, and nothing beside.
[[nodiscard]] bool is_moment(std::string_view cell);

[[nodiscard]] std::string lower_case(std::string_view text);

}  // namespace amphora::intake
