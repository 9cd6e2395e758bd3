// What the parser of the command line says of a mistake, in words of ours.
#pragma once

#include <string>
#include <string_view>

namespace amphora::app {

/// "--by takes day, week or month, not \"decade\"" for "--by: decade not in {day,week,month}", and likewise of a range;
/// anything else as it is.
[[nodiscard]] std::string usage_words(std::string_view parser_says);

}  // namespace amphora::app
