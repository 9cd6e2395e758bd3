// Mean and standard deviation of a handful of equal measurements.
#pragma once

#include <cmath>
#include <span>

#include "core/quantity/exact_sum.hpp"
#include "core/quantity/quantity.hpp"

namespace amphora {

/// Mean of the values; missing() when there are none.
template <class Q>
[[nodiscard]] Q sample_mean(std::span<const Q> values) {
    if (values.empty()) return Q::missing();
    ExactSum<Q> sum;
    for (const Q v : values) sum += v;
    return sum.total() / static_cast<double>(values.size());
}

/// Mean and sample standard deviation (divisor n - 1). Two passes with compensated sums, because the textbook
/// difference of squares turns negative on long logs (NIST StRD, data set NumAcc4). sd is missing() below two values.
template <class Q>
[[nodiscard]] Uncertain<Q> sample_statistics(std::span<const Q> values) {
    const Q mean = sample_mean(values);
    if (values.size() < 2) return {mean, Q::missing()};
    ExactSum<Quantity<struct SquareTag>> squares;
    for (const Q v : values) {
        const double d = (v - mean).value();
        squares += Quantity<struct SquareTag>(d * d);
    }
    return {mean, Q(std::sqrt(squares.total().value() / static_cast<double>(values.size() - 1)))};
}

}  // namespace amphora
