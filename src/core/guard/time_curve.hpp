// How long a level may be passed before a rule trips: the longer, the less it is passed. A surge of a starting motor
// goes by, a lasting overload does not.
#pragma once

#include <algorithm>
#include <cmath>

#include "core/system/protection.hpp"

namespace amphora::guard {

/// Time to trip at a constant value, for the multiplier 1. `value` and `level` are magnitudes above zero. Infinite
/// where the level is not passed; zero for a definite time, whose delay stands apart.
///
/// Currents: IEC 60255-151:2009, Annex A, curves A, B and C: t = k / ((G / Gs)^a - 1), effective up to 20 Gs.
/// Voltages: IEC 60255-127:2010, dependent time for undervoltage: t = 1 / (1 - V / Vs). Both from memory.
[[nodiscard]] inline Second time_to_trip(TimeCurve curve, Level value, Level level) {
    constexpr double most = 20.0;
    const auto forever = Second(std::numeric_limits<double>::infinity());
    const double passed = value / level;
    const auto over = [&](double k, double a) {
        return passed > 1.0 ? Second(k / (std::pow(std::min(passed, most), a) - 1.0)) : forever;
    };
    switch (curve) {
        case TimeCurve::standard_inverse:
            return over(0.14, 0.02);
        case TimeCurve::very_inverse:
            return over(13.5, 1.0);
        case TimeCurve::extremely_inverse:
            return over(80.0, 2.0);
        case TimeCurve::undervoltage_inverse:
            return passed < 1.0 ? Second(1.0 / (1.0 - std::max(passed, 0.0))) : forever;
        case TimeCurve::definite:
            break;
    }
    return Second(0.0);
}

}  // namespace amphora::guard
