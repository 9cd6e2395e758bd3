// A straight line where both meters err: neither is the truth.
#pragma once

#include <cmath>
#include <span>
#include <vector>

#include "core/meter/straight_line.hpp"
#include "core/quantity/quantity.hpp"

namespace amphora {

/// Offset and gain without uncertainties.
template <class Q>
struct PlainLine {
    Q offset{};
    Fraction gain{};
};

/// Deming's line: both sides err, with a known ratio of error variances (of the tested one over that of the reference);
/// 1 is orthogonal regression. W. E. Deming, Statistical Adjustment of Data (1943).
/// At least two points that do not lie on a horizontal or vertical line.
template <class Q>
[[nodiscard]] PlainLine<Q> deming_line(std::span<const PairedReading<Q>> points, double variance_ratio) {
    const CentredSums<Q> s(points);
    const double d = s.yy - variance_ratio * s.xx;
    const double gain = (d + std::sqrt(d * d + 4 * variance_ratio * s.xy * s.xy)) / (2 * s.xy);
    return {s.mean_tested - s.mean_reference * gain, Fraction(gain)};
}

/// A pair with the standard deviation of each side.
template <class Q>
struct UncertainPair {
    Uncertain<Q> reference;
    Uncertain<Q> tested;
};

/// One round of York's iteration: everything that follows from a trial gain.
struct YorkRound {
    double x_mean = 0, y_mean = 0;  // weighted
    double weights = 0;             // their sum
    double gain = 0;                // the better gain
    double adjusted_mean = 0;       // weighted mean of the adjusted references
    double gain_variance = 0;
};

template <class Q>
[[nodiscard]] YorkRound york_round(std::span<const UncertainPair<Q>> points, double gain) {
    const auto var = [](Q sd) { return sd.value() * sd.value(); };
    const auto weight = [&](const UncertainPair<Q>& p) {
        return 1 / (var(p.tested.sd) + gain * gain * var(p.reference.sd));
    };
    YorkRound r;
    for (const auto& p : points) {
        r.weights += weight(p);
        r.x_mean += weight(p) * p.reference.mean.value();
        r.y_mean += weight(p) * p.tested.mean.value();
    }
    r.x_mean /= r.weights;
    r.y_mean /= r.weights;
    // How far a point's adjusted reference lies from the weighted mean, both of its errors weighed.
    const auto shift = [&](const UncertainPair<Q>& p) {
        return weight(p) * ((p.reference.mean.value() - r.x_mean) * var(p.tested.sd) +
                            gain * (p.tested.mean.value() - r.y_mean) * var(p.reference.sd));
    };
    double up = 0, down = 0, shifts = 0, spread = 0;
    for (const auto& p : points) {
        up += weight(p) * shift(p) * (p.tested.mean.value() - r.y_mean);
        down += weight(p) * shift(p) * (p.reference.mean.value() - r.x_mean);
        shifts += weight(p) * shift(p);
    }
    for (const auto& p : points) spread += weight(p) * std::pow(shift(p) - shifts / r.weights, 2);
    r.gain = up / down;
    r.adjusted_mean = r.x_mean + shifts / r.weights;
    r.gain_variance = 1 / spread;
    return r;
}

/// York's line: every point with its own errors on both sides, independent of each other.
/// D. York, N. Evensen, M. Lopez Martinez, J. De Basabe Delgado, Am. J. Phys. 72 (2004) 367-375, unified equations.
/// The uncertainties are those that the stated errors imply; `misfit` tells whether these are believable.
/// At least three points, all errors > 0. Allocates.
template <class Q>
[[nodiscard]] StraightLine<Q> york_line(std::span<const UncertainPair<Q>> points) {
    std::vector<PairedReading<Q>> means;
    for (const auto& p : points) means.push_back({p.reference.mean, p.tested.mean});
    double gain = fit_line<Q>(means).line.gain.mean.value();
    YorkRound round;
    constexpr int enough = 200;  // it settles within about ten
    for (int i = 0; i < enough; ++i) {
        round = york_round(points, gain);
        const bool settled = std::abs(round.gain - gain) <= 1e-15 * std::abs(gain);
        gain = round.gain;
        if (settled) break;
    }
    const double m = round.adjusted_mean;
    return {.offset = {Q(round.y_mean - gain * round.x_mean),
                       Q(std::sqrt(1 / round.weights + m * m * round.gain_variance))},
            .gain = {Fraction(gain), Fraction(std::sqrt(round.gain_variance))},
            .covariance = Q(-m * round.gain_variance)};
}

/// Weighted squares of the distances from the line, per degree of freedom: about 1 where the stated errors are true.
template <class Q>
[[nodiscard]] double misfit(std::span<const UncertainPair<Q>> points, const StraightLine<Q>& line) {
    const double gain = line.gain.mean.value();
    double squares = 0;
    for (const auto& p : points) {
        const double off = (p.tested.mean - line.offset.mean - p.reference.mean * gain).value();
        squares += off * off / (std::pow(p.tested.sd.value(), 2) + std::pow(gain * p.reference.sd.value(), 2));
    }
    return squares / static_cast<double>(points.size() - 2);
}

}  // namespace amphora
