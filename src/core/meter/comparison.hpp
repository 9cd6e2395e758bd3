// How well two meters agree, when neither is the truth.
#pragma once

#include <cmath>
#include <span>
#include <vector>

#include "core/meter/straight_line.hpp"
#include "core/quantity/quantity.hpp"
#include "core/quantity/sample.hpp"

namespace amphora {

/// Agreement of two meters after J. M. Bland and D. G. Altman, Lancet i (1986) 307-310. Differences are the reference
/// minus the tested meter.
template <class Q>
struct Agreement {
    Uncertain<Q> bias;  // mean difference and the standard error of it
    Q spread{};         // standard deviation of the differences
    Q limit_error{};    // standard error of either limit

    /// Between these two lie 95 % of the differences, if they are normally distributed.
    [[nodiscard]] Q lower_limit() const { return bias.mean - spread * normal_95; }
    [[nodiscard]] Q upper_limit() const { return bias.mean + spread * normal_95; }

    static constexpr double normal_95 = 1.959963984540054;
};

/// At least two pairs. Allocates.
template <class Q>
[[nodiscard]] Agreement<Q> agreement(std::span<const PairedReading<Q>> pairs) {
    std::vector<Q> differences;
    for (const auto& p : pairs) differences.push_back(p.reference - p.tested);
    const Uncertain<Q> d = sample_statistics(std::span<const Q>(differences));
    const auto n = static_cast<double>(pairs.size());
    return {.bias = {d.mean, d.sd / std::sqrt(n)}, .spread = d.sd, .limit_error = d.sd * std::sqrt(3 / n)};
}

/// Repeatability of one meter from pairs of its own readings of the same thing: 95 % of repeats differ by less
/// (twice the root mean square of the differences, as the same paper has it).
template <class Q>
[[nodiscard]] Q repeatability(std::span<const PairedReading<Q>> repeats) {
    double squares = 0;
    for (const auto& p : repeats) squares += std::pow((p.reference - p.tested).value(), 2);
    return Q(2 * std::sqrt(squares / static_cast<double>(repeats.size())));
}

}  // namespace amphora
