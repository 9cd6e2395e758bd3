// One cell of a CSV line (RFC 4180): where it ends, and what is in it without the blanks and quotes around it.
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>

namespace amphora::source {

/// The length of the first cell of `line`, quotes around it included; behind it comes a separator or the end. Quotes
/// keep separators inside; a cell never spans lines. Nothing if the quotes are not closed, or closed before the end of
/// the cell.
std::optional<std::size_t> cell_length(std::string_view line, char separator);

/// The text without blanks around it, then without quotes around it, then without blanks inside those.
std::string_view bare_cell(std::string_view cell);

/// True for a cell that says that nothing was measured: empty, "nan", "NA" or "null", in either case.
bool says_missing(std::string_view bare);

}  // namespace amphora::source
