// What the terminal can show.
#pragma once

#include <cstdio>

namespace amphora::app {

/// True if the stream is a terminal: a person is watching, so that a progress bar makes sense.
[[nodiscard]] bool is_watched(std::FILE* stream);

/// True if colour may be written: a terminal that is not "dumb", and no NO_COLOR in the environment (no-color.org).
[[nodiscard]] bool may_colour(std::FILE* stream);

}  // namespace amphora::app
