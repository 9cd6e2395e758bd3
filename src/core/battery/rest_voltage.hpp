// What the voltage of a rested lead-acid battery says about its state of charge, and how to see where a voltage that is
// still settling will come to rest.
#pragma once

#include <optional>

#include "core/quantity/quantity.hpp"
#include "core/system/system.hpp"

namespace amphora {

/// State of charge of a lead-acid battery that has rested (no load, no charge: 6-8 hours at least, better 24), from its
/// terminal voltage and the uncertainty of that voltage. Includes how far the published tables are from each other.
/// Nothing for other chemistries: on their plateau the voltage says next to nothing.
/// Tables and sources: rest_voltage.cpp.
[[nodiscard]] std::optional<Uncertain<Fraction>> state_of_charge_at_rest(Chemistry chemistry, Uncertain<Volt> battery,
                                                                         int cells_in_series);

/// The voltage towards which three equally spaced means are settling, by Aitken's extrapolation of a geometric approach
/// (A. C. Aitken, Proc. R. Soc. Edinburgh 46 (1926) 289): v3 - (v3 - v2)^2 / ((v3 - v2) - (v2 - v1)).
/// The approach of a battery is slower than geometric in the end (diffusion), so the standard deviation is half of the
/// step that was extrapolated. Nothing unless each change is smaller than the one before, in the same direction, and
/// less than 0.9 of it: beyond that the result is mostly noise.
[[nodiscard]] std::optional<Uncertain<Volt>> settled_voltage(Volt first, Volt second, Volt third);

}  // namespace amphora
