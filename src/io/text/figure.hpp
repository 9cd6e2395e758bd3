// Figures for people: a value with its unit and how sure it is, rounded to what is known.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "core/quantity/quantity.hpp"

namespace amphora::text {

/// "62 % ± 4", "187 Ah ± 6", "-0.083 A ± 0.015": the value, its unit, and half the width of the 90 % band. The band
/// keeps one digit, or two if the first is a 1; the value ends at the same place. Without a finite sd the value stands
/// alone. Unit after the value as in SI, with a blank.
std::string with_band(double value, double sd, std::string_view unit);

/// A share as a percentage; if next to nothing is known (± 35 or more), the edges of what is possible: "0 to 100 %".
std::string figure(Uncertain<Fraction> share);
inline std::string figure(Uncertain<AmpHour> f) { return with_band(f.mean.value(), f.sd.value(), "Ah"); }
inline std::string figure(Uncertain<Ampere> f) { return with_band(f.mean.value(), f.sd.value(), "A"); }

/// "at most 0.05 A": rounded up to one digit, or two if the first is a 1.
std::string at_most(double value, std::string_view unit);

/// "1 234 567": digits in groups of three.
std::string count(std::uint64_t number);

/// "1 gap", "3 gaps": the plural takes an s.
std::string count_of(std::uint64_t number, std::string_view noun);

/// The same without the groups, for what a script may read too: "1 reading", "34500 readings".
std::string plain_count_of(std::uint64_t number, std::string_view noun);

/// A length of time in the unit that suits it: "45 s", "12 min", "5.3 h", "4.2 days".
std::string duration(Second length);

}  // namespace amphora::text
