#include "io/weather/file_days.hpp"

#include <algorithm>

#include "core/sun/plane.hpp"

namespace amphora::weather {
namespace {

constexpr int hours_a_day = 24;
constexpr std::size_t fewest_days = 20;

int day_of_year(int month, int day) {
    for (int m = 0; m < month; ++m) day += sun::days_in_month(m);
    return std::min(day, 365);  // a leap day counts as its neighbour
}

}  // namespace

void FileDays::add(const FileHour& h) {
    const int hour = ((h.hour + ahead_) % hours_a_day + hours_a_day) % hours_a_day;
    if (hour <= last_hour_) days_.emplace_back();
    last_hour_ = hour;
    Day& d = days_.back();
    ++d.hours;
    if (hour <= hours_a_day / 2) {
        d.month = h.month;
        d.day = h.day;
    }
    d.global += h.global;
    d.diffuse_known = d.diffuse_known && h.diffuse >= 0.0;
    d.diffuse += h.diffuse;
    d.air += h.air;
}

/// A typical year is a ring: the hours before its first midnight belong to the day that its last hours begin.
std::vector<FileDays::Day> FileDays::round_the_year() const {
    std::vector<Day> days = days_;
    if (days.size() < 2 || days.front().hours + days.back().hours != hours_a_day) return days;
    const bool noon_first = days.front().hours >= hours_a_day / 2;  // and with the noon the date
    Day& whole = noon_first ? days.front() : days.back();
    const Day& other = noon_first ? days.back() : days.front();
    whole.hours += other.hours;
    whole.global += other.global;
    whole.diffuse += other.diffuse;
    whole.diffuse_known = whole.diffuse_known && other.diffuse_known;
    whole.air += other.air;
    days.erase(noon_first ? days.end() - 1 : days.begin());
    return days;
}

std::array<std::vector<sun::WeatherDay>, 12> FileDays::by_month(const sun::Climate& climate) const {
    constexpr KilowattHourPerSquareMetre dusk{0.05};  // per day: less means nothing as a divisor
    constexpr KilowattHourPerSquareMetre high_sun{0.5};
    constexpr double pitch_dark = 0.01;
    std::array<std::vector<sun::WeatherDay>, 12> months;
    for (const Day& d : round_the_year()) {
        if (d.hours != hours_a_day) continue;
        const sun::Month& month = climate.months.at(static_cast<std::size_t>(d.month));
        const sun::Day sky = sun::day_of_year(day_of_year(d.month, d.day), month.latitude);
        const KilowattHourPerSquareMetre global(d.global / 1000.0);
        sun::WeatherDay out;
        if (sky.extraterrestrial > dusk) out.clearness = std::clamp(global / sky.extraterrestrial, 0.0, 1.0);
        if (sky.extraterrestrial > high_sun && out.clearness < pitch_dark) continue;
        out.diffuse_share = d.diffuse_known && d.global > 0.0
                                ? std::clamp(d.diffuse / d.global, 0.0, 1.0)
                                : sun::diffuse_share_of_day(out.clearness, sky.sunset_angle);
        out.warmer = d.air / hours_a_day - month.mean.value();
        months.at(static_cast<std::size_t>(d.month)).push_back(out);
    }
    if (std::ranges::any_of(months, [](const auto& m) { return m.size() < fewest_days; })) return {};
    return months;
}

}  // namespace amphora::weather
