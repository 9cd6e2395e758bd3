// How a draw test of an appliance is to go, by what the description says of it and of the meter.
#pragma once

#include <string_view>

#include "core/appliance/draw_test.hpp"
#include "core/system/system.hpp"

namespace amphora {

/// The described appliance of that name; null where there is none.
[[nodiscard]] const described::Appliance* appliance_named(const System& system, std::string_view name);

/// The meter's finest step where it is known, and whether the appliance is known to switch itself (a duty below 1).
[[nodiscard]] DrawSettings draw_settings(const System& system, std::string_view appliance);

}  // namespace amphora
