// What the estimator says at one moment: how much is left, how sure that is, how long it lasts, and why.
#pragma once

#include <cmath>
#include <cstdint>

#include "core/quantity/instant.hpp"
#include "core/quantity/quantity.hpp"

namespace amphora {

/// Half a 90 % band of the state of charge, from which on next to nothing is known of it.
constexpr Fraction hardly_known{0.35};

/// A time given as a range: nine times out of ten it lies between low and high. Infinite where it never happens, all
/// three missing while it is not known.
struct TimeRange {
    Second low = Second::missing();
    Second likely = Second::missing();
    Second high = Second::missing();

    [[nodiscard]] bool is_known() const { return !std::isnan(likely.value()); }
};

/// The evidence that pinned the state of charge last.
enum class Evidence : std::uint8_t { none, full, empty, rest_voltage, voltage_under_load };

/// Where the last evidence came from, and what was counted since.
struct LastEvidence {
    Evidence kind = Evidence::none;
    Instant at{};
    AmpHour out_since{};
    AmpHour in_since{};
};

struct Estimate {
    Instant at{};
    Uncertain<Fraction> state_of_charge;  // of the present full-charge capacity
    Uncertain<AmpHour> remaining;         // above the reserve
    Uncertain<AmpHour> full_charge_capacity;
    Uncertain<Ampere> meter_offset;      // what the meter shows when nothing flows
    Ampere current = Ampere::missing();  // latest, as measured
    Volt voltage = Volt::missing();
    Celsius temperature = Celsius::missing();
    Watt power = Watt::missing();
    TimeRange to_empty;  // to the reserve
    TimeRange to_full;
    LastEvidence evidence;
};

/// The past as it is known now.
struct Hindsight {
    Instant at{};
    Uncertain<Fraction> state_of_charge;
};

/// What was odd about the readings, counted; nothing is dropped silently.
struct Oddities {
    std::uint64_t readings = 0;
    std::uint64_t current_missing = 0;
    std::uint64_t voltage_missing = 0;
    std::uint64_t temperature_missing = 0;
    std::uint64_t duplicate_time = 0;
    std::uint64_t backward_time = 0;
    std::uint64_t gaps = 0;
    Second gap_time{};
    std::uint64_t stuck = 0;
    std::uint64_t out_of_range = 0;
};

}  // namespace amphora
