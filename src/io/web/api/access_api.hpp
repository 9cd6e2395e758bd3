// Signing in and out, and the devices that did: /api/v1/access and what is below it.
#pragma once

#include "io/web/api/desk.hpp"

namespace amphora::web {

/// Where the desk has no entrance, everyone who reaches the server may look, nobody can sign in, and there are no
/// devices.
void add_access_api(Routes& routes, const Desk& desk);

}  // namespace amphora::web
