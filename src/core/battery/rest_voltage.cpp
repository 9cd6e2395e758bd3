#include "core/battery/rest_voltage.hpp"

#include <array>
#include <cmath>
#include <span>

#include "core/quantity/curve.hpp"

namespace amphora {
namespace {

using RestPoint = CurvePoint<Volt, Fraction>;

// Six cells, 26.7 C. Battery Council International type table as printed by a battery maker (discoverbattery.com,
// "Tables" 6-8).
constexpr std::array<RestPoint, 5> flooded{{
    {Volt(11.89), Fraction(0.00)},
    {Volt(12.06), Fraction(0.25)},
    {Volt(12.24), Fraction(0.50)},
    {Volt(12.45), Fraction(0.75)},
    {Volt(12.65), Fraction(1.00)},
}};

// Six cells. Lower ends of the ranges in an owner's manual for a vehicle with an AGM battery
// (publications.polaris.com): 12.8-13.2 V full, 12.6-12.8 V 75-100 %, 12.3-12.6 V 50-75 %, 12.0-12.3 V 25-50 %. The
// manual gives no voltage for 0 %; the last step is continued by our own choice.
constexpr std::array<RestPoint, 5> agm{{
    {Volt(11.70), Fraction(0.00)},
    {Volt(12.00), Fraction(0.25)},
    {Volt(12.30), Fraction(0.50)},
    {Volt(12.60), Fraction(0.75)},
    {Volt(12.80), Fraction(1.00)},
}};

// Six cells. From memory, no source at hand.
constexpr std::array<RestPoint, 5> gel{{
    {Volt(11.80), Fraction(0.00)},
    {Volt(12.00), Fraction(0.25)},
    {Volt(12.35), Fraction(0.50)},
    {Volt(12.65), Fraction(0.75)},
    {Volt(12.85), Fraction(1.00)},
}};

/// Published tables of one chemistry differ by about this much at the same voltage (common practice, no source).
constexpr double table_sd = 0.05;

std::span<const RestPoint> table_for(Chemistry chemistry) {
    switch (chemistry) {
        case Chemistry::flooded:
            return flooded;
        case Chemistry::agm:
            return agm;
        case Chemistry::gel:
            return gel;
        default:
            return {};
    }
}

}  // namespace

std::optional<Uncertain<Fraction>> state_of_charge_at_rest(Chemistry chemistry, Uncertain<Volt> battery,
                                                           int cells_in_series) {
    const std::span<const RestPoint> points = table_for(chemistry);
    if (points.empty() || !battery.mean.known() || cells_in_series < 1) return std::nullopt;
    const Curve<Volt, Fraction> table(points);
    const double to_six_cells = 6.0 / cells_in_series;
    // The slope of the whole table rather than of one segment: beyond the ends it must not vanish.
    const double per_volt = 1 / (table.highest() - table.lowest()).value();
    const double from_voltage = battery.sd.value() * to_six_cells * per_volt;
    return Uncertain<Fraction>{table.at(battery.mean * to_six_cells), Fraction(std::hypot(from_voltage, table_sd))};
}

std::optional<Uncertain<Volt>> settled_voltage(Volt first, Volt second, Volt third) {
    const Volt earlier = second - first, later = third - second;
    const double ratio = later / earlier;
    const bool settles = ratio > 0 && ratio < 0.9;  // false for a ratio that is no number
    if (!settles) return std::nullopt;
    const Volt ahead = later * (ratio / (1 - ratio));
    return Uncertain<Volt>{third + ahead, Volt(std::abs(ahead.value()) / 2)};
}

}  // namespace amphora
