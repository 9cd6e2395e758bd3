// Internal resistance from the steps that switching loads put on current and voltage.
#pragma once

#include <cmath>
#include <optional>

#include "core/quantity/quantity.hpp"

namespace amphora {

/// How strongly a resistance falls with temperature, per mole.
using JoulePerMole = Quantity<struct JoulePerMoleTag>;

constexpr double gas_constant = 8.314462618;  // J/(mol K), CODATA 2018

/// Pools load steps into one resistance: the line through the origin, R = sum(di dv) / sum(di^2). From readings at 1 Hz
/// this holds what follows within a second (ohmic and charge transfer), more than a 1 kHz meter shows.
class StepResistance {
public:
    /// Takes one step between two steady stretches: change of current (positive into the battery) and of voltage.
    void add(Ampere current_step, Volt voltage_step) {
        products_ += (current_step * voltage_step).value();
        squares_ += current_step.value() * current_step.value();
    }

    /// The resistance, with the standard error that `voltage_sd` on either side of each step leaves in it. The
    /// current's own error must be small against the steps (below 2 %). Nothing before the first step.
    [[nodiscard]] std::optional<Uncertain<Ohm>> resistance(Volt voltage_sd) const {
        if (squares_ == 0) return std::nullopt;
        return Uncertain<Ohm>{Ohm(products_ / squares_), Ohm(voltage_sd.value() * std::sqrt(2 / squares_))};
    }

private:
    double products_ = 0;
    double squares_ = 0;
};

/// A resistance measured at one temperature as it would be at 25 C, by Arrhenius' law. Activation energies: LFP 15-35,
/// lead-acid 5-15 kJ/mol (from memory); better is a fit to the battery's own log.
[[nodiscard]] inline Ohm at_25_celsius(Ohm measured, Celsius temperature, JoulePerMole activation) {
    const double inverse = 1 / to_kelvin(Celsius(25)).value() - 1 / to_kelvin(temperature).value();
    return measured * std::exp(activation.value() / gas_constant * inverse);
}

}  // namespace amphora
