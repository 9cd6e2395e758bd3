// How a battery ages: by the calendar, by use, and by the depth of its cycles.
#pragma once

#include <span>

#include "core/health/rainflow.hpp"
#include "core/quantity/quantity.hpp"
#include "core/system/system.hpp"

namespace amphora {

/// Calendar loss of capacity of an LFP cell (Naumann et al., J. Energy Storage 17, 2018, 153: 3 Ah cells, 0..60 C,
/// about 900 days; beyond that it is an extrapolation, and large cells may differ by a factor of two).
[[nodiscard]] Fraction lfp_calendar_loss(Hour age, Celsius temperature, Fraction state_of_charge);

/// Loss of capacity of an LFP cell by use (Naumann et al., J. Power Sources 451, 2020, 227666), by full equivalent
/// cycles, their depth and rate.
[[nodiscard]] Fraction lfp_cycle_loss(double full_equivalent_cycles, Fraction depth, CRate rate);

/// Cycles to the end of life as a power of depth, through two points of a maker's curve.
class CycleLife {
public:
    CycleLife(Fraction depth1, double cycles1, Fraction depth2, double cycles2);
    [[nodiscard]] double exponent() const { return exponent_; }
    [[nodiscard]] double cycles(Fraction depth) const;
    /// Share of the life that these cycles use up (Palmgren and Miner).
    [[nodiscard]] double damage(std::span<const Swing<Fraction>> swings_of_charge) const;

private:
    double exponent_;
    double at_full_;
};

/// A typical curve of the chemistry, to 80 % of capacity at 20 to 25 C (from memory: the battery's own curve wins).
[[nodiscard]] CycleLife typical_life(Chemistry chemistry);

/// Years on float until lead-acid is worn out, halved for every 10 K above 20 C (common rule, from memory).
[[nodiscard]] double lead_acid_calendar_years(Celsius temperature);

}  // namespace amphora
