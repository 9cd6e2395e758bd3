// Two shapes that every first-order lag is made of, exact where the naive form cancels.
#pragma once

#include <cmath>

namespace amphora {

/// 1 - e^-x: the part of a step that a first-order lag has followed after x time constants. x >= 0.
[[nodiscard]] inline double step_response(double x) { return -std::expm1(-x); }

/// x - 1 + e^-x: the integral of the step response, i.e. what the lag has followed of a ramp. x >= 0.
/// The difference of nearly equal terms for small x is taken from its series (relative error below 1e-13).
[[nodiscard]] inline double ramp_response(double x) {
    if (x < 1e-2) return x * x / 2 * (1 - x / 3 * (1 - x / 4 * (1 - x / 5 * (1 - x / 6))));
    return x - step_response(x);
}

}  // namespace amphora
