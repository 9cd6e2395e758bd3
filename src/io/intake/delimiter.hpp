// What stands between the cells of a log's lines.
#pragma once

#include <string_view>
#include <vector>

namespace amphora::intake {

/// The delimiter by which the lines fall into equally many cells, two or more, and the cells are what cells are: a
/// number, a moment, a word. So neither the comma of decimals nor the blank between a date and its time wins.
[[nodiscard]] char delimiter_of(const std::vector<std::string_view>& lines);

}  // namespace amphora::intake
