// Where work can hurt: the cautions that belong to a plan, by what is in it.
#pragma once

#include <string>
#include <vector>

#include "core/design/plan.hpp"

namespace amphora::design {

/// In the order in which a person meets them. The last one always says what a calculation is not.
[[nodiscard]] std::vector<std::string> cautions_for(const Plan& plan);

}  // namespace amphora::design
