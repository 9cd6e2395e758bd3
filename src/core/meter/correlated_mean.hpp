// The mean of readings that are not independent, and how sure it is.
#pragma once

#include <span>

#include "core/meter/student.hpp"
#include "core/quantity/quantity.hpp"

namespace amphora {

struct CorrelatedMean {
    Ampere mean = Ampere::missing();
    Ampere spread = Ampere::missing();  // standard deviation of single readings
    Ampere error = Ampere::missing();   // standard error of the mean
    double effective = 0.0;             // as many independent readings would be worth the same
};

/// Mean of equally spaced readings, its standard error by the sum of their autocovariances up to where pairs of them
/// turn negative: the initial positive sequence of C. Geyer, Statistical Science 7 (1992) 473-483, section 3.3. Never
/// less than for independent readings. Below four readings only the mean is known.
[[nodiscard]] CorrelatedMean correlated_mean(std::span<const Ampere> readings);

/// A difference of means, or a mean, with the degrees of freedom that its error is known with.
struct MeanError {
    Ampere error{};
    DegreesOfFreedom freedom{};
};

/// The error of a sum of independent parts, each already weighted: B. Welch, Biometrika 34 (1947) 28-35, and F.
/// Satterthwaite, Biometrics Bulletin 2 (1946) 110-114.
[[nodiscard]] MeanError together(std::span<const MeanError> parts);

}  // namespace amphora
