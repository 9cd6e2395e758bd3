// The description of a system as the core sees it: what system.toml says, validated, with units, defaults filled in.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include "core/quantity/angle.hpp"
#include "core/quantity/length.hpp"
#include "core/quantity/quantity.hpp"
#include "core/system/equipment.hpp"
#include "core/system/live.hpp"
#include "core/system/protection.hpp"

namespace amphora {

enum class Chemistry { lfp, agm, gel, flooded, nmc, nca, lto };

[[nodiscard]] constexpr bool is_lead_acid(Chemistry c) {
    return c == Chemistry::agm || c == Chemistry::gel || c == Chemistry::flooded;
}

/// What counts as "full" on this system: voltage at or above, current into the battery at or below, held this long.
struct FullEvidence {
    Volt voltage{};
    Ampere current_below{};
    Second held_for{};
};

/// A measured open-circuit curve of this battery, per cell; strictly increasing states of charge from 0 to 1.
struct MeasuredOcv {
    std::vector<Fraction> state_of_charge;
    std::vector<Volt> voltage;
};

struct Battery {
    Chemistry chemistry = Chemistry::lfp;
    AmpHour design_capacity{100.0};
    Hour rated_over{5.0};  // hours of discharge for which the design capacity is stated
    int cells_in_series = 4;
    Fraction reserve{0.2};  // the part that is not to be used; time to empty counts down to it
    FullEvidence full;      // always filled: from the description or by chemistry
    std::optional<MeasuredOcv> ocv;
    std::optional<std::chrono::year_month_day> installed;  // when it was new here
};

struct Meter {
    std::string name = "shunt";
    Ampere rated_current = Ampere::missing();
    Volt rated_drop = Volt::missing();

    /// Current for a shunt drop, by the rated pair (Ohm's law). Positive drop means charging.
    [[nodiscard]] Ampere current(Volt drop) const { return drop / (rated_drop / rated_current); }
};

/// Where the system stands: latitude north positive, longitude east positive, height above the sea.
struct Place {
    Degree latitude{};
    Degree longitude{};
    Metre altitude{};
};

struct System {
    std::string name = "unnamed";
    Volt nominal_voltage{12.0};
    std::string
        record;  // path of the file of readings, relative to the description; empty: beside it, its name + .amphora
    std::string zone;  // IANA name of the zone whose days count ("Europe/Lisbon"); empty: that of the computer
    std::optional<Place> place;
    Battery battery;
    std::vector<Meter> meters;
    Equipment equipment;
    Live live;
    Protection protection;
};

}  // namespace amphora
