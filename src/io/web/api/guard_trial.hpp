// What guards would have done: a span of the record run against the rules of the description.
#pragma once

#include "io/web/api/desk.hpp"

namespace amphora::web {

/// Adds POST /api/v1/guards/replay. The answer comes by /api/v1/work.
void add_guard_trial_api(Routes& routes, Desk& desk);

}  // namespace amphora::web
