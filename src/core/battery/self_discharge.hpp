// What a battery loses by itself in storage.
#pragma once

#include <cmath>

#include "core/quantity/quantity.hpp"
#include "core/system/system.hpp"

namespace amphora {

/// Share of the capacity lost per month (a twelfth of 365.25 days) at 25 C.
using LossPerMonth = Quantity<struct LossPerMonthTag>;

constexpr Hour month{365.25 * 24 / 12};

/// A usual figure by chemistry, with a factor of two either way. Flooded lead-acid 5 %/month is published (various
/// handbooks give 4-8); the others are common practice without a source.
[[nodiscard]] constexpr LossPerMonth usual_self_discharge(Chemistry chemistry) {
    return chemistry == Chemistry::flooded ? LossPerMonth(0.05) : LossPerMonth(0.02);
}

/// The current that self-discharge amounts to (positive), at a battery temperature. Doubles per 10 K (a rule of thumb
/// after Arrhenius; from memory).
[[nodiscard]] inline Ampere self_discharge_current(LossPerMonth at_25_celsius, AmpHour capacity, Celsius temperature) {
    return capacity * at_25_celsius.value() / month * std::exp2((temperature - Celsius(25)).value() / 10);
}

}  // namespace amphora
