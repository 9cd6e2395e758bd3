// Peukert's rule in the hour-rated form, as a hand calculation for one constant current.
//
// It says nothing about currents that change: D. Doerffel and S. A. Sharkh, J. Power Sources 155 (2006) 395-400. The
// charge that a high rate leaves behind can still be taken out later at a low one. For that see kinetic_battery.hpp.
#pragma once

#include <cmath>

#include "core/battery/hour_rating.hpp"
#include "core/quantity/quantity.hpp"

namespace amphora {

/// Peukert's exponent; 1 = no rate effect. Flooded about 1.2-1.3, gel 1.1-1.2, AGM 1.05-1.15 (common practice, no
/// source).
using PeukertExponent = Quantity<struct PeukertExponentTag>;

/// Hours that a full battery lasts at a constant discharge current (positive): t = H (C / (I H))^k.
[[nodiscard]] inline Hour peukert_time(HourRating rating, PeukertExponent exponent, Ampere discharge) {
    return rating.over * std::pow(rating.current() / discharge, exponent.value());
}

/// Charge that a full battery gives at a constant discharge current (positive) until it is empty at that current.
[[nodiscard]] inline AmpHour peukert_charge(HourRating rating, PeukertExponent exponent, Ampere discharge) {
    return discharge * peukert_time(rating, exponent, discharge);
}

/// The exponent from two discharge tests of one battery to the same end voltage: k = ln(t2/t1) / ln(I1/I2).
[[nodiscard]] inline PeukertExponent peukert_exponent(HourRating first, HourRating second) {
    return PeukertExponent(std::log(second.over / first.over) / std::log(first.current() / second.current()));
}

}  // namespace amphora
