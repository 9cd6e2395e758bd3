// What must hold between the keys of sources and their channels.
#pragma once

#include "io/describe/draft.hpp"

namespace amphora::describe {

/// Adds a mistake for each name that leads nowhere, each unit that does not fit, each source that gives nothing.
void check_live(Draft& draft);

}  // namespace amphora::describe
