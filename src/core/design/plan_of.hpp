// From what the description says to the plan that the checks, the budget and the simulation work on.
#pragma once

#include "core/design/plan.hpp"

namespace amphora::design {

/// The plan of a description. Names that lead nowhere and sizes that do not exist were refused at the door
/// (io/describe); here they are simply left out. The weather is that of the built-in table or the given months; a
/// weather file is the caller's to read.
[[nodiscard]] Plan plan_of(const System& system);

}  // namespace amphora::design
