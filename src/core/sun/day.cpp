#include "core/sun/day.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace amphora::sun {
namespace {

constexpr std::array<int, 12> month_lengths{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
constexpr std::array<int, 12> middles{15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349};

/// FAO-56 states the solar constant as 0.0820 MJ/m2/min.
constexpr double megajoules_per_minute = 0.0820;
constexpr double minutes_per_day = 1440.0;

bool is_night(const Day& day, Degree hour_angle) {
    return std::abs(hour_angle.value()) >= day.sunset_angle.value() || day.sunset_angle.value() <= 0.0;
}

}  // namespace

Day day_of_year(int day, Degree latitude) {
    using std::numbers::pi;
    const double turn = 2.0 * pi * day / 365.0;
    Day d;
    d.inverse_distance = 1.0 + 0.033 * std::cos(turn);
    const double declination = 0.409 * std::sin(turn - 1.39);
    const double phi = to_radians(latitude).value();
    const double sunset = std::acos(std::clamp(-std::tan(phi) * std::tan(declination), -1.0, 1.0));
    d.declination = to_degrees(Radian(declination));
    d.sunset_angle = to_degrees(Radian(sunset));
    d.daylight = Hour(24.0 * sunset / pi);
    const double megajoules =
        minutes_per_day / pi * megajoules_per_minute * d.inverse_distance *
        (sunset * std::sin(phi) * std::sin(declination) + std::cos(phi) * std::cos(declination) * std::sin(sunset));
    d.extraterrestrial = KilowattHourPerSquareMetre(std::max(0.0, megajoules) / megajoules_per_kilowatt_hour);
    return d;
}

double diffuse_share_per_hour(const Day& day, Degree hour_angle) {
    if (is_night(day, hour_angle)) return 0.0;
    const double ws = to_radians(day.sunset_angle).value();
    const double sum = std::sin(ws) - ws * std::cos(ws);
    if (sum < 1e-9) return 0.0;
    return std::numbers::pi / 24.0 * (cosine(hour_angle) - std::cos(ws)) / sum;
}

double global_share_per_hour(const Day& day, Degree hour_angle) {
    const Degree shifted = day.sunset_angle - Degree(60.0);
    const double a = 0.409 + 0.5016 * sine(shifted);
    const double b = 0.6609 - 0.4767 * sine(shifted);
    return std::max(0.0, (a + b * cosine(hour_angle)) * diffuse_share_per_hour(day, hour_angle));
}

int middle_of_month(int month) { return middles.at(static_cast<std::size_t>(month)); }

int days_in_month(int month) { return month_lengths.at(static_cast<std::size_t>(month)); }

int month_of_day(int day) {
    int month = 0;
    for (int last = month_lengths[0]; day > last && month < 11;
         last += month_lengths.at(static_cast<std::size_t>(month))) {
        ++month;
    }
    return month;
}

}  // namespace amphora::sun
