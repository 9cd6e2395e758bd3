#include "twin/weather.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace amphora::twin {
namespace {

constexpr double radians = std::numbers::pi / 180;

double day_of_year(long day) { return std::fmod(static_cast<double>(day), 365.2425); }

// FAO-56 (R. Allen and others, 1998), eq. 24: declination of the sun, in radians.
double declination(double day_of_year) { return 0.409 * std::sin(2 * std::numbers::pi / 365 * day_of_year - 1.39); }

// B. Haurwitz, J. Meteorology 2 (1945) 154: clear-sky sunshine on the flat; constant 0.057.
double clear_sky(double cos_zenith) {
    return cos_zenith <= 0.01 ? 0 : 1098 * cos_zenith * std::exp(-0.057 / cos_zenith);
}

double cos_zenith(double latitude, double sun_declination, double hour) {
    return std::sin(latitude * radians) * std::sin(sun_declination) +
           std::cos(latitude * radians) * std::cos(sun_declination) * std::cos((hour - 12) * 15 * radians);
}

}  // namespace

double clear_sun_hours(double latitude, long day) {
    const double sun = declination(static_cast<double>(day));
    double sum = 0;
    for (int quarter = 0; quarter < 96; ++quarter) sum += clear_sky(cos_zenith(latitude, sun, quarter / 4.0)) / 4000;
    return sum;
}

void Weather::new_day() {
    // V. Graham, K. Hollands, T. Unny, Solar Energy 40 (1988) 83: from day to day an AR(1) of coefficient 0.29.
    sky_ = 0.29 * sky_ + std::sqrt(1 - 0.29 * 0.29) * random_.normal();
    spell_ = 0.8 * spell_ + 0.6 * random_.normal();
    const double centre = std::log(spec_.clearness / (1 - spec_.clearness));
    day_clear_ = 1 / (1 + std::exp(-(centre + 1.3 * sky_)));
}

void Weather::advance(Instant now) {
    const double days = (now.unix_seconds() / 3600 + spec_.longitude / 15) / 24;
    const long day = static_cast<long>(std::floor(days));
    while (day_ < day) {
        day_ = day_ < 0 ? day : day_ + 1;
        new_day();
    }
    hour_ = (days - std::floor(days)) * 24;

    const double minutes = last_.us == 0 ? 1 : std::min(60.0, (now - last_).value() / 60);
    last_ = now;
    const double keep = std::exp(-minutes / 45);
    drift_ = drift_ * keep + std::sqrt(1 - keep * keep) * random_.normal();
    // A cloud in front of the sun: on for about 6 minutes, more often the duller the day.
    const double leave = minutes / 6;
    const double come = leave * (1 - day_clear_) / std::max(0.1, day_clear_);
    behind_cloud_ = behind_cloud_ ? !random_.chance(std::min(1.0, leave)) : random_.chance(std::min(0.9, come));

    double clear = std::clamp(day_clear_ * (1 + spec_.patchiness * drift_), 0.03, 1.0);
    clear *= behind_cloud_ ? 1 - spec_.patchiness : 1 + 0.4 * spec_.patchiness * (1 - day_clear_);
    sunshine_ = clear_sky(cos_zenith(spec_.latitude, declination(day_of_year(day_)), hour_)) * std::min(clear, 1.1);

    const double season = std::cos(2 * std::numbers::pi * (day_of_year(day_) - 200) / 365.2425);
    const double time = std::cos(2 * std::numbers::pi * (hour_ - 15) / 24);
    air_ = Celsius(spec_.mean.value() + (spec_.latitude >= 0 ? spec_.season : -spec_.season) * season +
                   spec_.day * (0.4 + 0.6 * day_clear_) * time + spec_.spell * spell_);
}

}  // namespace amphora::twin
