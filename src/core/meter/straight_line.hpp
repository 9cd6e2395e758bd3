// A straight line through measured points, with honest uncertainties: a meter's gain and offset against a reference.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <span>

#include "core/quantity/quantity.hpp"
#include "core/quantity/sample.hpp"

namespace amphora {

/// A point of a comparison: what the reference said, what the meter under test said, in the same unit.
template <class Q>
struct PairedReading {
    Q reference;
    Q tested;
};

/// tested = offset + gain x reference. The two are correlated: a point on the line needs `at`.
template <class Q>
struct StraightLine {
    Uncertain<Q> offset;
    Uncertain<Fraction> gain;
    Q covariance{};  // of offset and gain

    /// The line at a value of the reference, with its uncertainty.
    [[nodiscard]] Uncertain<Q> at(Q reference) const {
        const double x = reference.value();
        const double variance =
            std::pow(offset.sd.value(), 2) + std::pow(x * gain.sd.value(), 2) + 2 * x * covariance.value();
        return {offset.mean + reference * gain.mean.value(), Q(std::sqrt(std::max(0.0, variance)))};
    }
};

/// Sums about the means, on which every straight-line fit rests.
template <class Q>
struct CentredSums {
    Q mean_reference{}, mean_tested{};
    double xx = 0, xy = 0, yy = 0;

    explicit CentredSums(std::span<const PairedReading<Q>> points) {
        ExactSum<Q> x, y;
        for (const auto& p : points) {
            x += p.reference;
            y += p.tested;
        }
        mean_reference = x.total() / static_cast<double>(points.size());
        mean_tested = y.total() / static_cast<double>(points.size());
        for (const auto& p : points) {
            const double u = (p.reference - mean_reference).value(), v = (p.tested - mean_tested).value();
            xx += u * u;
            xy += u * v;
            yy += v * v;
        }
    }
};

template <class Q>
struct LeastSquares {
    StraightLine<Q> line;
    Q residual_sd{};     // with n - 2 degrees of freedom
    Fraction explained;  // of the variance of the tested meter (R squared)
};

/// Ordinary least squares: the reference is taken as exact. At least three points, not all at the same reference.
template <class Q>
[[nodiscard]] LeastSquares<Q> fit_line(std::span<const PairedReading<Q>> points) {
    const CentredSums<Q> s(points);
    const auto n = static_cast<double>(points.size());
    const double gain = s.xy / s.xx;
    const Q offset = s.mean_tested - s.mean_reference * gain;
    double squares = 0;
    for (const auto& p : points) squares += std::pow((p.tested - offset - p.reference * gain).value(), 2);
    const double variance = squares / (n - 2);
    const double x = s.mean_reference.value();
    return {
        .line = {.offset = {offset, Q(std::sqrt(variance * (1 / n + x * x / s.xx)))},
                 .gain = {Fraction(gain), Fraction(std::sqrt(variance / s.xx))},
                 .covariance = Q(-x * variance / s.xx)},
        .residual_sd = Q(std::sqrt(variance)),
        .explained = Fraction(1 - squares / s.yy),
    };
}

}  // namespace amphora
