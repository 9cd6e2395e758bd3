// How sources and guards stand: /api/v1/sources and /api/v1/guards.
#pragma once

#include "io/web/api/desk.hpp"

namespace amphora::web {

void add_standing_api(Routes& routes, const Desk& desk);

}  // namespace amphora::web
