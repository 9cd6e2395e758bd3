// The record as a whole: /api/v1/record, its import, export and copy, and /api/v1/work, what takes long.
#pragma once

#include "io/web/api/desk.hpp"

namespace amphora::web {

void add_record_api(Routes& routes, Desk& desk);

}  // namespace amphora::web
