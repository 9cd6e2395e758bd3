// Proposed circuits as text of the description, with the person's comments and order kept.
#pragma once

#include <string>

#include "core/design/plan.hpp"

namespace amphora::app {

/// The description with the circuits of `after` that it does not have yet, and its appliances, inverters and chargers
/// tied to them. `text` is the description of `before`.
[[nodiscard]] std::string with_circuits(std::string text, const design::Plan& before, const design::Plan& after);

}  // namespace amphora::app
