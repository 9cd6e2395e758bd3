// The description: /api/v1/description and what follows from it: findings, the diagram, putting it to work.
#pragma once

#include "io/web/api/desk.hpp"

namespace amphora::web {

void add_description_api(Routes& routes, Desk& desk);

}  // namespace amphora::web
