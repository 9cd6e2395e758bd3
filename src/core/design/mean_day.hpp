// The mean day of a month, hour by hour: what the appliances take from the battery and what the chargers could give.
#pragma once

#include <array>

#include "core/design/energy.hpp"

namespace amphora::design {

using PowerByHour = std::array<double, 24>;  // W, local hours

/// What the appliances of the hour take at the battery, inverter losses included.
[[nodiscard]] PowerByHour load_of_day(const Plan& plan, int month);

/// Chargers that do not hang on the sun, at a battery voltage: driving is put about noon, the shore charger into the
/// night.
[[nodiscard]] PowerByHour steady_of_day(const Plan& plan, Volt battery);

/// The same for the sun, at the month's mean clearness; nothing without a climate.
[[nodiscard]] PowerByHour sun_of_day(const Plan& plan, int month);

/// What a meter in the battery's lead should count on a mean day: only what is left over after the loads goes in, no
/// more than comes out again.
struct AtTheShunt {
    WattHour in;
    WattHour out;
};
[[nodiscard]] AtTheShunt at_the_shunt(const Plan& plan, int month);

}  // namespace amphora::design
