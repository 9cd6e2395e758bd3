// Charge voltages of lead-acid batteries fall as the battery warms.
#pragma once

#include "core/quantity/quantity.hpp"

namespace amphora {

/// Change of a cell's charge voltage with temperature; negative for lead-acid. -3 to -5 mV/K per cell is usual; use the
/// battery maker's figure. LFP chargers must have none (zero).
using VoltPerKelvin = Quantity<struct VoltPerKelvinTag>;

/// Temperature at which makers state charge voltages unless they say otherwise.
constexpr Celsius charge_voltage_reference{25.0};

/// The charge voltage for a battery at this temperature: V(T) = V(ref) + coefficient x cells x (T - ref). Linear; most
/// makers stop compensating below about 0 C and above about 50 C (common practice, no source), which is for the caller.
[[nodiscard]] constexpr Volt compensated(Volt at_reference, VoltPerKelvin per_cell, int cells_in_series,
                                         Celsius temperature, Celsius reference = charge_voltage_reference) {
    return at_reference + Volt(per_cell.value() * cells_in_series * (temperature - reference).value());
}

}  // namespace amphora
