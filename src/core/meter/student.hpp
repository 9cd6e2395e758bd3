// Student's t: how much wider a band must be when the spread itself is known from few readings.
#pragma once

#include <algorithm>
#include <cmath>

#include "core/quantity/quantity.hpp"

namespace amphora {

using DegreesOfFreedom = Quantity<struct DegreesOfFreedomTag>;

/// Upper quantile of Student's distribution that belongs to the normal quantile `z` (1.645: of a 90 % two-sided band).
/// Fewer than two degrees of freedom are taken as two. Expansion 26.7.5 of M. Abramowitz, I. Stegun, Handbook of
/// Mathematical Functions, 1964; within 1 % from two degrees on.
[[nodiscard]] inline double student_quantile(double z, DegreesOfFreedom freedom) {
    const double v = std::max(freedom.value(), 2.0);
    const double z2 = z * z;
    const double g1 = z * (z2 + 1) / 4;
    const double g2 = z * ((5 * z2 + 16) * z2 + 3) / 96;
    const double g3 = z * (((3 * z2 + 19) * z2 + 17) * z2 - 15) / 384;
    const double g4 = z * ((((79 * z2 + 776) * z2 + 1482) * z2 - 1920) * z2 - 945) / 92'160;
    return z + (g1 + (g2 + (g3 + g4 / v) / v) / v) / v;
}

}  // namespace amphora
