// A sum that does not lose small addends against a large total: a year of standby milliamperes on top of kiloamp-hours.
#pragma once

#include <cmath>

#include "core/quantity/quantity.hpp"

namespace amphora {

/// Compensated summation after A. Neumaier, "Rundungsfehleranalyse einiger Verfahren zur Summation endlicher Summen",
/// ZAMM 54 (1974) 39-51: the rounding error of the total stays near one unit in the last place, however many addends.
/// Needs strict floating point (no -ffast-math).
template <class Q>
class ExactSum {
public:
    constexpr ExactSum& operator+=(Q addend) {
        const double x = addend.value();
        const double t = sum_ + x;
        lost_ += (std::abs(sum_) >= std::abs(x)) ? (sum_ - t) + x : (x - t) + sum_;
        sum_ = t;
        return *this;
    }

    [[nodiscard]] constexpr Q total() const { return Q(sum_ + lost_); }

private:
    double sum_ = 0.0;
    double lost_ = 0.0;
};

}  // namespace amphora
