// What uses it: /api/v1/appliances, the description's budget beside what was measured.
#pragma once

#include "io/web/api/desk.hpp"

namespace amphora::web {

void add_appliance_api(Routes& routes, const Desk& desk);

}  // namespace amphora::web
