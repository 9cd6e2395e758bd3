// The sun over a whole day: what reaches the top of the atmosphere, how long the day is, how a day's sum spreads over
// its hours.
#pragma once

#include "core/quantity/irradiance.hpp"
#include "core/sun/position.hpp"

namespace amphora::sun {

/// Solar constant, 1361 W/m2 (Kopp and Lean, Geophys. Res. Lett. 38, 2011, L01706).
constexpr WattPerSquareMetre solar_constant{1361.0};

/// The geometry of one day (1 = 1 January .. 365) at a latitude, by FAO Irrigation and Drainage Paper 56, chapter 3,
/// equations 21 to 25 and 34. Polar day and night are kept: the sunset angle is then 180 or 0 degrees.
struct Day {
    Degree declination;
    Degree sunset_angle;                          // hour angle of sunset
    double inverse_distance = 1.0;                // relative, squared
    KilowattHourPerSquareMetre extraterrestrial;  // on a horizontal surface, over the day
    Hour daylight;
};
[[nodiscard]] Day day_of_year(int day, Degree latitude);

/// Share of a day's global horizontal irradiation that falls per hour around an hour angle, 1/h (Collares-Pereira and
/// Rabl, Solar Energy 22, 1979, 155; Duffie and Beckman eq. 2.13.2). Zero at night.
[[nodiscard]] double global_share_per_hour(const Day& day, Degree hour_angle);

/// The same for the diffuse part (Liu and Jordan 1960; Duffie and Beckman eq. 2.13.4).
[[nodiscard]] double diffuse_share_per_hour(const Day& day, Degree hour_angle);

/// The middle day of each month, 0 = January (FAO-56 Annex 2).
[[nodiscard]] int middle_of_month(int month);
/// Month (0..11) of a day of the year (1..365).
[[nodiscard]] int month_of_day(int day);
/// Days of a month of a year without leap day.
[[nodiscard]] int days_in_month(int month);

}  // namespace amphora::sun
