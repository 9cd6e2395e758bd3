// The invented van "Blue Heron", which the demonstration lives with.
#pragma once

#include "twin/van.hpp"

namespace amphora::twin {

/// A camper van at about 47 degrees north: 200 Ah of lithium iron phosphate, 300 W of panels flat on the roof, a 30 A
/// charger on the alternator, a rare night on a campsite's cable, and a household of named appliances (their names are
/// in `household.appliances`). Two years of it show both winters' want and summers' plenty.
[[nodiscard]] VanSpec blue_heron(std::uint64_t seed, Instant start, Second interval = Second(5));

}  // namespace amphora::twin
