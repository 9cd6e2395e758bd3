// The interface of the page and of the user's own scripts: /api/v1 (docs/reference/api.md).
#pragma once

#include <string>

#include "io/web/page_source.hpp"
#include "io/web/routes.hpp"

namespace amphora::web {

/// The present as JSON, in one line: the body of /api/v1/now and the data of each `now` event.
std::string present_json(const PageSource& source);

/// Adds /api/v1/now, /api/v1/series and /api/v1/events. Source and channel must outlive the server.
void add_page_api(Routes& routes, const PageSource& source, EventChannel& events);

}  // namespace amphora::web
