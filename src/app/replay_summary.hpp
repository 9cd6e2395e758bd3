// What a replay found, in words for a person.
#pragma once

#include <string>

#include "app/replay.hpp"

namespace amphora::app {

/// Several lines: the span of the log, where it stands at the end, what was learned, how wrong the estimates turned out
/// to be, and what was odd. Times are UTC; each figure has its 90 % band.
std::string summary(const ReplayResult& result, const System& system);

/// The lines that could not be read, one line of text each and a last one for the rest; empty if there are none.
std::string bad_lines(const source::CsvReport& log);

}  // namespace amphora::app
