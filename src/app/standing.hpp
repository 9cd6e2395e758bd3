// An estimate in words for a person: each line stands for itself. Times are UTC; each figure has its 90 % band.
#pragma once

#include <string>
#include <vector>

#include "core/estimate/estimate.hpp"
#include "core/system/system.hpp"

namespace amphora::app {

/// What is left, what flows, how long it lasts, and what that rests on. `age` is that of the estimate: no moment before
/// now is foretold.
std::vector<std::string> standing(const Estimate& estimate, const System& system, Second age = Second(0));

/// What was learned of the meter and of the battery.
std::vector<std::string> learned(const Estimate& estimate, const System& system);

}  // namespace amphora::app
