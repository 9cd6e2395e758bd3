// A broken line through published points: how tables from standards and data sheets are read between their rows.
#pragma once

#include <algorithm>
#include <cstddef>
#include <span>

#include "core/quantity/quantity.hpp"

namespace amphora {

template <class X, class Y>
struct CurvePoint {
    X x;
    Y y;
};

/// Linear interpolation between points; beyond the ends the end value is held. A view: the points must outlive it.
/// At least two points, x strictly increasing.
template <class X, class Y>
class Curve {
public:
    constexpr explicit Curve(std::span<const CurvePoint<X, Y>> points) : points_(points) {}

    [[nodiscard]] constexpr X lowest() const { return points_.front().x; }
    [[nodiscard]] constexpr X highest() const { return points_.back().x; }
    [[nodiscard]] constexpr bool covers(X x) const { return x >= lowest() && x <= highest(); }

    /// y at x; missing() where x is not a number.
    [[nodiscard]] Y at(X x) const {
        if (std::isnan(x.value())) return Y::missing();
        if (x <= lowest()) return points_.front().y;
        if (x >= highest()) return points_.back().y;
        const auto above = std::ranges::upper_bound(points_, x, {}, &CurvePoint<X, Y>::x);
        const auto below = above - 1;
        return below->y + (above->y - below->y) * ((x - below->x) / (above->x - below->x));
    }

private:
    std::span<const CurvePoint<X, Y>> points_;
};

}  // namespace amphora
