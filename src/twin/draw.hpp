// Draws whole vans: wide ranges on purpose, so that an estimator tuned on these has met more than one kind of battery.
#pragma once

#include "twin/van.hpp"

namespace amphora::twin {

enum class Climate { any, cold, temperate, hot };

struct DrawOptions {
    std::uint64_t seed = 1;
    Chemistry chemistry = Chemistry::lfp;  // lfp, agm, gel or flooded
    Climate climate = Climate::any;
    Second interval{5};
};

/// The van of this seed; the same on every machine. Throws std::invalid_argument for a chemistry the twin has no cells
/// of.
[[nodiscard]] VanSpec draw_van(const DrawOptions& options);

/// The parts, for whoever wants to mix their own.
[[nodiscard]] BankSpec draw_bank(Random& random, Chemistry chemistry, AmpHour label);
[[nodiscard]] WeatherSpec draw_weather(Random& random, Climate climate);
[[nodiscard]] HouseholdSpec draw_household(Random& random, WattHour per_day);
[[nodiscard]] ItinerarySpec draw_itinerary(Random& random);
[[nodiscard]] ShuntSpec draw_shunt(Random& random);
[[nodiscard]] std::vector<ChargerSpec> draw_chargers(Random& random, const BankSpec& bank, Watt panels, Ampere shore,
                                                     Ampere engine);

}  // namespace amphora::twin
