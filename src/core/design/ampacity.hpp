// How much current a cable carries without its insulation getting too hot.
#pragma once

#include <string_view>

#include "core/design/conductor.hpp"

namespace amphora::design {

/// Where and how a cable lies.
struct Laying {
    Celsius insulation{70.0};  // the temperature its insulation stands
    Celsius ambient{30.0};
    bool engine_space = false;  // counts as at least 50 C
    int bundled = 1;            // current-carrying conductors that lie together, this one included
};

/// Ampacity and how it came about. All factors are 1 for a single cable at 30 C.
struct Ampacity {
    Ampere in_free_air;        // from the table, single conductor, 30 C
    double for_ambient = 1.0;  // 0 when the surroundings are as hot as the insulation stands
    double for_bundle = 1.0;
    std::string_view source;

    /// With heat, but as if the cable lay alone.
    [[nodiscard]] Ampere alone() const { return in_free_air * for_ambient; }
    [[nodiscard]] Ampere corrected() const { return alone() * for_bundle; }
};

/// American gauges by 33 CFR 183.425 table 5; metric sizes by ISO 10133:2012 table A.2 (this table from memory).
/// An insulation temperature between two columns takes the lower one; below 60 C none is given and 0 A results.
[[nodiscard]] Ampacity ampacity(const ConductorSize& size, const Laying& laying);

/// Factor for surroundings hotter than the table's 30 C. In an engine space the notes of 33 CFR 183.425 table 5 apply;
/// elsewhere sqrt((insulation - ambient) / (insulation - 30)), which those notes round. Never above 1.
[[nodiscard]] double ambient_factor(Celsius insulation, Celsius ambient, bool engine_space);

/// Factor for conductors lying together: 3: 0.70, 4 to 6: 0.60, 7 to 24: 0.50, more: 0.40 (33 CFR 183.425 table 5,
/// note 2, which binds from 50 V on; below that it is caution).
[[nodiscard]] double bundle_factor(int conductors);

/// Temperature that the copper reaches at a current, in steady state: ambient plus the rise that goes with its square.
[[nodiscard]] Celsius conductor_temperature(const Ampacity& capacity, const Laying& laying, Ampere current);

}  // namespace amphora::design
