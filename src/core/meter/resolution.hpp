// What a meter's finest step and its dead band do to a count of charge.
#pragma once

#include <cmath>

#include "core/quantity/quantity.hpp"

namespace amphora {

/// The current that an error voltage across the shunt looks like (amplifier offset, thermal voltage): Ohm's law.
[[nodiscard]] constexpr Ampere offset_from_drop(Volt error, Ampere rated_current, Volt rated_drop) {
    return error / (rated_drop / rated_current);
}

/// How a finest step of the reading turns into error.
struct StepError {
    Ampere noise{};         // standard deviation of one reading, own noise included
    Ampere worst_offset{};  // a constant error of up to this much, the same in every reading
};

/// Noise of at least half a step spreads the readings over neighbouring steps, and the step acts as noise of
/// step / sqrt(12) (uniform distribution). With less, a current that does not move is read as the same wrong value for
/// ever: an offset of up to half a step, which no averaging removes.
[[nodiscard]] inline StepError step_error(Ampere step, Ampere noise) {
    if (noise < step / 2) return {noise, step / 2};
    return {Ampere(std::hypot(noise.value(), step.value() / std::sqrt(12.0))), Ampere(0)};
}

/// Charge that a meter never sees because it shows currents smaller than its dead band as zero. Signed as the current.
[[nodiscard]] constexpr AmpHour charge_unseen(Ampere standby, Ampere dead_band, Hour time) {
    const bool seen = standby >= dead_band || -standby >= dead_band;
    return seen ? AmpHour(0) : standby * time;
}

}  // namespace amphora
