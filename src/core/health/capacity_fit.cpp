#include "core/health/capacity_fit.hpp"

#include <cmath>

namespace amphora {

Uncertain<AmpHour> capacity_from_pair(const CapacityPair& pair) {
    const double x = pair.change.mean.value();
    const AmpHour capacity = pair.moved.mean / x;
    const double by_moved = pair.moved.sd.value() / x;
    const double by_change = capacity.value() * pair.change.sd.value() / x;
    return {capacity, AmpHour(std::hypot(by_moved, by_change))};
}

void CapacityFit::add(const CapacityPair& pair) {
    if (scale_ == 0) scale_ = pair.change.sd.value() / pair.moved.sd.value();
    const double x = pair.change.mean.value(), sx = pair.change.sd.value();
    const double y = pair.moved.mean.value() * scale_, sy = pair.moved.sd.value() * scale_;
    by_moved_.add(x, y, 1 / (sy * sy), fading_);
    by_change_.add(x, y, 1 / (sx * sx), fading_);
}

// In scaled units the line is y = r x. Cost and its derivatives as in the paper's equations for the approximate
// weighted problem: the distance to the line is shared between x and y by the line's own slope.
double CapacityFit::cost(double slope) const {
    const double r = slope;
    const FadingSums &m = by_moved_, &c = by_change_;
    const double sum = c.xx * r * r * r * r - 2 * c.xy * r * r * r + (m.xx + c.yy) * r * r - 2 * m.xy * r + m.yy;
    return sum / ((r * r + 1) * (r * r + 1));
}

double CapacityFit::best_slope() const {
    const FadingSums &m = by_moved_, &c = by_change_;
    // Between the slopes of the two one-sided regressions (no error in x, none in y), widened; golden section first.
    double low = 0.5 * m.xy / m.xx, high = 2 * c.yy / c.xy;
    constexpr double golden = 0.6180339887498949;
    for (int i = 0; i < 60; ++i) {
        const double a = high - golden * (high - low), b = low + golden * (high - low);
        (cost(a) < cost(b) ? high : low) = cost(a) < cost(b) ? b : a;
    }
    // Then Newton on the quartic whose root is the minimum, which golden section finds only to half the digits.
    double r = (low + high) / 2;
    const double q4 = c.xy, q3 = -m.xx + 2 * c.xx - c.yy, q2 = 3 * (m.xy - c.xy), q1 = m.xx - 2 * m.yy + c.yy,
                 q0 = -m.xy;
    for (int i = 0; i < 4; ++i) {
        const double value = (((q4 * r + q3) * r + q2) * r + q1) * r + q0;
        const double slope = ((4 * q4 * r + 3 * q3) * r + 2 * q2) * r + q1;
        if (slope != 0) r -= value / slope;
    }
    return r;
}

std::optional<Uncertain<AmpHour>> CapacityFit::capacity() const {
    const FadingSums &m = by_moved_, &c = by_change_;
    if (!(m.xy > 0) || !(c.xy > 0)) return std::nullopt;
    const double r = best_slope();
    const double hessian =
        2 / std::pow(r * r + 1, 4) *
        (-2 * c.xy * std::pow(r, 5) + (3 * m.xx - 6 * c.xx + 3 * c.yy) * std::pow(r, 4) +
         (-12 * m.xy + 16 * c.xy) * std::pow(r, 3) + (-8 * m.xx + 10 * m.yy + 6 * c.xx - 8 * c.yy) * r * r +
         (12 * m.xy - 6 * c.xy) * r + (m.xx - 2 * m.yy + c.yy));
    if (!(hessian > 0)) return std::nullopt;
    return Uncertain<AmpHour>{AmpHour(r / scale_), AmpHour(std::sqrt(2 / hessian) / scale_)};
}

double CapacityFit::misfit() const { return by_moved_.xx == 0 ? 0 : cost(best_slope()); }

}  // namespace amphora
