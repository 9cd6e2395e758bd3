// How well a meter's offset is known from readings taken while nothing flows.
#pragma once

#include <cmath>
#include <cstddef>

#include "core/quantity/quantity.hpp"

namespace amphora {

/// Correlation of a reading's error with that of the next reading; 0 = independent. Between -1 and 1, both excluded.
using Autocorrelation = Quantity<struct AutocorrelationTag>;

/// How many independent readings n correlated ones are worth for their mean, for errors of the first-order
/// autoregressive kind: n / (1 + 2 sum over lags k of (1 - k/n) phi^k), the sum in closed form. For long series this is
/// n (1 - phi) / (1 + phi). Derivation: G. Box, G. Jenkins, Time Series Analysis, on the variance of a mean.
[[nodiscard]] inline double effective_readings(std::size_t readings, Autocorrelation correlation) {
    const auto n = static_cast<double>(readings);
    const double phi = correlation.value();
    const double inflation = (1 + phi) / (1 - phi) - 2 * phi * (1 - std::pow(phi, n)) / (n * (1 - phi) * (1 - phi));
    return n / inflation;
}

/// Standard deviation of an offset measured as the mean of this many readings with nothing connected.
[[nodiscard]] inline Ampere zero_offset_sd(Ampere noise, std::size_t readings, Autocorrelation correlation) {
    return noise / std::sqrt(effective_readings(readings, correlation));
}

}  // namespace amphora
