// The voltage that a run of cable eats.
#pragma once

#include <optional>

#include "core/design/ampacity.hpp"

namespace amphora::design {

/// A two-wire run: there and back.
struct Run {
    ConductorSize size;
    Metre one_way;
    Laying laying;
};

/// Voltage lost on the way there and back at a current, the copper as warm as that current makes it, but never reckoned
/// hotter than its insulation stands.
[[nodiscard]] Volt voltage_drop(const Run& run, Ampere current);

/// Area that a loop needs, in circular mils: 10.75 x A x ft / V (ABYC E-11, the form printed in marine wiring guides).
[[nodiscard]] double circular_mils(Ampere current, Metre loop, Volt allowed);

/// Voltage lost by the form of ISO 10133: 0.0164 x A x m / mm2, the metres being there and back.
[[nodiscard]] Volt iso_drop(Ampere current, Metre loop, SquareMillimetre area);

/// The thinnest size of a series that carries `current` (bundling counted) and loses at most `allowed`; nothing if even
/// the thickest does not.
[[nodiscard]] std::optional<ConductorSize> thinnest(SizeSeries series, const Laying& laying, Metre one_way,
                                                    Ampere current, Volt allowed);

}  // namespace amphora::design
