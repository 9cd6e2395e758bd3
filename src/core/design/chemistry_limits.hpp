// What each chemistry stands and wants, per cell, as far as a plan has to know. A battery's own data sheet wins.
#pragma once

#include "core/system/system.hpp"

namespace amphora::design {

/// All voltages at 25 C. Sources stand in chemistry_limits.cpp.
struct ChemistryLimits {
    Chemistry chemistry;
    const char* words;
    Volt nominal;
    Volt rest_full;
    Volt working_low;      // under load near the reserve
    Volt absorption_low;   // less than this never fills it
    Volt absorption_high;  // more than this harms it
    Volt float_low;
    Volt float_high;
    Volt equalise_high;        // 0: must never be equalised
    Hour absorption_least;     // held for at least this to be full
    Hour absorption_most;      // longer helps nobody
    double charge_rate;        // most, in multiples of the capacity per hour, where the maker says nothing
    double discharge_rate;     // the same
    double least_charge_rate;  // weaker chargers never finish
    double ohm_ampere_hours;   // cell resistance times capacity
    double least_reserve;      // deeper discharge wears it out
    int most_strings;
    bool wants_compensation;  // charge voltage falls with temperature
    Celsius charge_from;      // no charging below
};
[[nodiscard]] const ChemistryLimits& limits(Chemistry c);

}  // namespace amphora::design
