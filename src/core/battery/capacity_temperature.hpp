// Capacity of lead-acid batteries in the cold.
#pragma once

#include <array>
#include <optional>

#include "core/quantity/curve.hpp"
#include "core/quantity/quantity.hpp"

namespace amphora {

/// IEEE Std 485, Table 1: factor by which a lead-acid cell must be larger than at 25 C. Values from memory; check
/// against the standard before relying on them.
constexpr std::array<CurvePoint<Celsius, Fraction>, 18> cell_size_factors{{
    {Celsius(-3.9), Fraction(1.520)},
    {Celsius(-1.1), Fraction(1.430)},
    {Celsius(1.7), Fraction(1.350)},
    {Celsius(4.4), Fraction(1.300)},
    {Celsius(7.2), Fraction(1.250)},
    {Celsius(10.0), Fraction(1.190)},
    {Celsius(12.8), Fraction(1.150)},
    {Celsius(15.6), Fraction(1.110)},
    {Celsius(18.3), Fraction(1.080)},
    {Celsius(20.0), Fraction(1.056)},
    {Celsius(21.1), Fraction(1.040)},
    {Celsius(25.0), Fraction(1.000)},
    {Celsius(26.7), Fraction(0.980)},
    {Celsius(32.2), Fraction(0.940)},
    {Celsius(37.8), Fraction(0.910)},
    {Celsius(43.3), Fraction(0.880)},
    {Celsius(48.9), Fraction(0.860)},
    {Celsius(51.7), Fraction(0.850)},
}};

/// Cell size factor at a temperature, 1 at 25 C, interpolated between rows as the standard says. Nothing outside the
/// table (-3.9 to 51.7 C): the standard gives no figure there, and a guess would be on the unsafe side in the cold.
[[nodiscard]] inline std::optional<Fraction> cell_size_factor(Celsius temperature) {
    const Curve<Celsius, Fraction> table(cell_size_factors);
    if (!table.covers(temperature)) return std::nullopt;
    return table.at(temperature);
}

/// What a lead-acid battery gives at this temperature of the capacity it has at 25 C: capacity / factor.
[[nodiscard]] inline std::optional<AmpHour> lead_acid_capacity_at(Celsius temperature, AmpHour at_25_celsius) {
    const std::optional<Fraction> factor = cell_size_factor(temperature);
    if (!factor) return std::nullopt;
    return at_25_celsius / factor->value();
}

}  // namespace amphora
