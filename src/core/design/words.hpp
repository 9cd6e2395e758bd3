// Figures as a person reads them in a finding: three significant digits and the unit.
#pragma once

#include <array>
#include <string>

#include "core/quantity/angle.hpp"
#include "core/quantity/length.hpp"
#include "core/quantity/quantity.hpp"

namespace amphora::design {

inline constexpr std::array<const char*, 12> month_names{"January",   "February", "March",    "April",
                                                         "May",       "June",     "July",     "August",
                                                         "September", "October",  "November", "December"};

/// Plain decimal digits, never an exponent: 189, 0.0185, 12.4, 12300.
[[nodiscard]] std::string digits(double value, int significant = 3);

[[nodiscard]] inline std::string words(Ampere a) { return digits(a.value()) + " A"; }
[[nodiscard]] inline std::string words(Volt v) { return digits(v.value()) + " V"; }
[[nodiscard]] inline std::string words(Watt w) { return digits(w.value()) + " W"; }
[[nodiscard]] inline std::string words(AmpHour q) { return digits(q.value()) + " Ah"; }
[[nodiscard]] inline std::string words(WattHour e) { return digits(e.value()) + " Wh"; }
[[nodiscard]] inline std::string words(Metre l) { return digits(l.value()) + " m"; }
[[nodiscard]] inline std::string words(Celsius t) { return digits(t.value()) + " °C"; }
[[nodiscard]] inline std::string words(Hour t) { return digits(t.value(), 2) + " h"; }
[[nodiscard]] inline std::string percent(double share) { return digits(share * 100.0, 2) + " %"; }
/// Shunt drops.
[[nodiscard]] inline std::string millivolts(Volt v) { return digits(v.value() * 1000.0) + " mV"; }

}  // namespace amphora::design
