// Charge that flowed between readings, where nobody looked. Our own derivations of standard integrals.
#pragma once

#include <cmath>

#include "core/quantity/exponential.hpp"
#include "core/quantity/quantity.hpp"

namespace amphora {

/// Standard deviation of the charge that flowed in a gap, when the current wanders about its mean with standard
/// deviation `current` and forgets itself over `correlation_time` (> 0; exponential autocorrelation). For a gap much
/// shorter than that it is current x gap; for a long one it grows only with the square root of the gap.
[[nodiscard]] inline AmpHour gap_charge_sd(Ampere current, Second gap, Second correlation_time) {
    const double x = gap / correlation_time;
    const double share = x > 0 ? 2 * ramp_response(x) / (x * x) : 1.0;
    return current * gap * std::sqrt(share);
}

/// How loads switch, seen from the meter.
struct LoadSwitching {
    Hour between{1.0};  // mean time between switchings, at random
    Ampere step{};      // root mean square of the change of current
};

/// Standard deviation of the charge counted over `elapsed` from point readings every `interval`, each held until the
/// next: a switching falls anywhere in its interval, an error of step x interval / sqrt(12) each (uniform
/// distribution).
[[nodiscard]] inline AmpHour switching_charge_sd(LoadSwitching load, Second interval, Hour elapsed) {
    return load.step * interval * std::sqrt(elapsed / load.between / 12);
}

}  // namespace amphora
