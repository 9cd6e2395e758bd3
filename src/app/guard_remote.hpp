// amphora guard now, amphora guard clear: asked of the recorder that runs.
#pragma once

#include <string>

#include "app/live_place.hpp"

namespace amphora::app {

/// Prints how guards and relays stand.
[[nodiscard]] Exit print_guards_now(const SocketOptions& place, bool json);

/// Clears a guard that is tripped, as one that latches.
[[nodiscard]] Exit clear_guard(const SocketOptions& place, const std::string& name);

}  // namespace amphora::app
