// The present: /api/v1/now, and the same as events at /api/v1/stream.
#pragma once

#include <optional>
#include <string>

#include "io/web/api/desk.hpp"
#include "io/web/routes.hpp"

namespace amphora::web {

/// The present: from the recorder, or else as the record ends; nothing when there is neither.
std::optional<Present> present_of(const Desk& desk);

/// The present as JSON, in one line: the body of /api/v1/now and the data of each `now` event.
std::string present_json(const Desk& desk);

void add_now_api(Routes& routes, const Desk& desk, EventChannel& events);

}  // namespace amphora::web
