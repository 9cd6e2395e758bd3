// The past: /api/v1/span and /api/v1/bars.
#pragma once

#include "io/web/api/desk.hpp"

namespace amphora::web {

void add_past_api(Routes& routes, const Desk& desk);

}  // namespace amphora::web
