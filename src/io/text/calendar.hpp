// Moments for people, in UTC.
#pragma once

#include <array>
#include <string>
#include <string_view>

#include "core/quantity/instant.hpp"

namespace amphora::text {

inline constexpr std::array<std::string_view, 12> month_marks{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                              "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

/// "2026-05-03 14:10".
std::string date_and_time(Instant at);

/// "14:10".
std::string time_of_day(Instant at);

/// A moment near another one, as short as it can be said: "Tue 14:10" within six days, "Tue 12 May" within half a year,
/// "12 May 2027" beyond.
std::string moment_near(Instant now, Instant at);

/// True if both are on the same day.
bool same_day(Instant a, Instant b);

}  // namespace amphora::text
