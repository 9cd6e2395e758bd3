// Allan deviation: how the instability of a reading depends on the averaging time. White noise falls with its square
// root, a wandering offset rises with it; the lowest point is the best average that a meter can give.
//
// Definitions: W. J. Riley, Handbook of Frequency Stability Analysis, NIST Special Publication 1065 (2008),
// section 5.2.
#pragma once

#include <cmath>
#include <cstddef>
#include <span>

#include "core/quantity/exact_sum.hpp"
#include "core/quantity/quantity.hpp"

namespace amphora {

enum class AllanOverlap { none, full };

/// Allan deviation of evenly spaced readings, averaged over `average` of them at a time. `full` overlap uses every
/// possible start and is steadier; `none` uses adjacent groups only. missing() when fewer than two groups fit.
template <class Q>
[[nodiscard]] Q allan_deviation(std::span<const Q> readings, std::size_t average, AllanOverlap overlap) {
    if (average == 0 || readings.size() < 2 * average) return Q::missing();
    const auto group_mean = [&](std::size_t first) {
        ExactSum<Q> sum;
        for (const Q r : readings.subspan(first, average)) sum += r;
        return sum.total() / static_cast<double>(average);
    };
    const std::size_t stride = overlap == AllanOverlap::full ? 1 : average;
    double squares = 0;
    std::size_t pairs = 0;
    for (std::size_t first = 0; first + 2 * average <= readings.size(); first += stride, ++pairs) {
        const double d = (group_mean(first + average) - group_mean(first)).value();
        squares += d * d;
    }
    return Q(std::sqrt(squares / (2 * static_cast<double>(pairs))));
}

}  // namespace amphora
