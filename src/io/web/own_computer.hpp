// Where nobody is asked to sign in, only who sits at this computer may change anything; the others may look.
#pragma once

#include <optional>
#include <string_view>

#include "io/web/door.hpp"

namespace amphora::web {

/// True when both ends of a connection are this computer: they have one address, or the client's is one of 127.0.0.0/8,
/// ::1, and the former written as IPv6.
[[nodiscard]] bool is_own_computer(std::string_view peer, std::string_view here);

/// A gate: refuses (403) what would change anything, unless it comes from this computer. A description can name
/// programs to run, so that who may change it may do anything.
[[nodiscard]] std::optional<Response> changes_from_own_computer(const Head& head, const Route& route);

}  // namespace amphora::web
