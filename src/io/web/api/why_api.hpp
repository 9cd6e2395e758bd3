// Why a figure is what it is: /api/v1/why, from which readings, by which rule and formula, after which source.
#pragma once

#include "io/web/api/desk.hpp"

namespace amphora::web {

void add_why_api(Routes& routes, const Desk& desk);

}  // namespace amphora::web
