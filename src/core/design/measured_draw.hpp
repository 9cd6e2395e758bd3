// Appliances whose draw was measured: the plan goes by the measurement.
#pragma once

#include "core/design/plan.hpp"

namespace amphora::design {

/// Puts the `measured` draw of each appliance in the place of the described one, so that what it takes at the battery
/// while it is on is what was measured. One that switches itself (duty below 1) keeps its power, by which its cable is
/// chosen, and the duty follows; a mean draw beyond that power raises the power, at the duty described. Behind an
/// inverter the power at its own plug follows from the inverter's efficiency there. Fills in `described`.
void go_by_measured_draws(Plan& plan);

/// "21.4 ± 0.9 W measured, 15.8 W described" of one appliance while it is on; empty where nothing was measured.
[[nodiscard]] std::string measured_words(const Appliance& appliance);

}  // namespace amphora::design
