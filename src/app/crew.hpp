// All the cores at once, with a bar for whoever watches.
#pragma once

#include "core/design/simulate.hpp"

namespace amphora::app {

/// Shares blocks out to that many threads (0: one for each core); paints a progress bar on stderr where that is a
/// terminal and `watched` is wanted.
[[nodiscard]] design::Runner crew(unsigned threads, bool watched);

}  // namespace amphora::app
