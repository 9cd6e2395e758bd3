#include "io/document/plot/axis.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <string_view>

namespace amphora::plot {
namespace {

using namespace std::chrono;

using Moment = sys_time<microseconds>;

constexpr std::array<std::string_view, 12> months{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                  "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

constexpr std::array steps_within_days{1s,
                                       2s,
                                       5s,
                                       10s,
                                       15s,
                                       30s,
                                       seconds(1min),
                                       seconds(2min),
                                       seconds(5min),
                                       seconds(10min),
                                       seconds(15min),
                                       seconds(30min),
                                       seconds(1h),
                                       seconds(2h),
                                       seconds(3h),
                                       seconds(6h),
                                       seconds(12h)};

Moment moment(Instant at) { return Moment(microseconds(at.us)); }
Instant instant(Moment at) { return {at.time_since_epoch().count()}; }

std::string month_name(year_month_day date) { return std::string(months[static_cast<unsigned>(date.month()) - 1]); }
std::string day_name(year_month_day date) {
    return fmt::format("{} {}", static_cast<unsigned>(date.day()), month_name(date));
}
std::string year_name(year_month_day date) { return fmt::format("{}", static_cast<int>(date.year())); }

std::vector<TimeLine> within_days(Moment first, Moment last, seconds step) {
    std::vector<TimeLine> lines;
    sys_days named{days::min()};
    for (Moment at = ceil<seconds>(first) + (step - ceil<seconds>(first).time_since_epoch() % step) % step; at <= last;
         at += step) {
        const auto day = floor<days>(at);
        const hh_mm_ss time(floor<seconds>(at - day));
        const auto clock = fmt::format("{:02}:{:02}", time.hours().count(), time.minutes().count());
        lines.push_back({instant(at), step < 1min ? fmt::format("{}:{:02}", clock, time.seconds().count()) : clock,
                         day == named ? "" : day_name(day)});
        named = day;
    }
    return lines;
}

// Every so many days of the month, from the 1st on; the last line of a month is left out where the 1st is near.
std::vector<TimeLine> by_days(Moment first, Moment last, unsigned step) {
    std::vector<TimeLine> lines;
    year_month named{};
    for (auto day = ceil<days>(first); day <= last; day += days(1)) {
        const year_month_day date(day);
        const auto of_month = static_cast<unsigned>(date.day()) - 1;
        if (of_month % step != 0 || of_month + step / 2 >= 31) continue;
        const year_month month = date.year() / date.month();
        lines.push_back({instant(day), fmt::format("{}", of_month + 1),
                         month == named ? "" : month_name(date) + " " + year_name(date)});
        named = month;
    }
    return lines;
}

std::vector<TimeLine> by_months(Moment first, Moment last, unsigned step) {
    std::vector<TimeLine> lines;
    const year_month_day begin(ceil<days>(first));
    std::chrono::year named{0};
    for (auto month = begin.year() / begin.month(); sys_days(month / 1) <= last; month += std::chrono::months(1)) {
        if (sys_days(month / 1) < first || (static_cast<unsigned>(month.month()) - 1) % step != 0) continue;
        lines.push_back(
            {instant(sys_days(month / 1)), month_name(month / 1), month.year() == named ? "" : year_name(month / 1)});
        named = month.year();
    }
    return lines;
}

std::vector<TimeLine> by_years(Moment first, Moment last, int step) {
    std::vector<TimeLine> lines;
    for (auto year = year_month_day(floor<days>(first)).year(); sys_days(year / 1 / 1) <= last; ++year) {
        if (sys_days(year / 1 / 1) < first || static_cast<int>(year) % step != 0) continue;
        lines.push_back({instant(sys_days(year / 1 / 1)), year_name(year / 1 / 1), ""});
    }
    return lines;
}

}  // namespace

ValueAxis ValueAxis::covering(double low, double high, int count) {
    if (!(high > low)) {
        low = std::isfinite(low) ? low - 0.5 : 0.0;
        high = low + 1.0;
    }
    const double rough = (high - low) / count;
    const double power = std::pow(10.0, std::floor(std::log10(rough)));
    const double digits = rough / power;
    const double step = power * (digits <= 1.0 ? 1.0 : digits <= 2.0 ? 2.0 : digits <= 5.0 ? 5.0 : 10.0);
    return {std::floor(low / step + 1e-9) * step, std::ceil(high / step - 1e-9) * step, step};
}

std::vector<double> ValueAxis::lines() const {
    std::vector<double> values;
    const auto count = std::lround((high - low) / step);
    for (long i = 0; i <= count; ++i) values.push_back(low + static_cast<double>(i) * step);
    return values;
}

std::string ValueAxis::label(double value) const {
    const int decimals = std::max(0, static_cast<int>(std::ceil(-std::log10(step) - 1e-9)));
    if (std::abs(value) < step / 2) value = 0.0;  // no "-0"
    return fmt::format("{:.{}f}", value, decimals);
}

std::vector<TimeLine> time_lines(Instant first, Instant last, int most) {
    const auto a = moment(first);
    const auto b = moment(last);
    const auto fits = [&](double seconds_apart) { return (last - first).value() / seconds_apart < most; };
    for (const auto step : steps_within_days)
        if (fits(static_cast<double>(step.count()))) return within_days(a, b, step);
    constexpr double day = 86'400.0;
    for (const unsigned step : {1U, 2U, 5U, 10U})
        if (fits(step * day)) return by_days(a, b, step);
    for (const unsigned step : {1U, 2U, 3U, 6U})
        if (fits(step * 30.4 * day)) return by_months(a, b, step);
    for (const int step : {1, 2, 5, 10, 20, 50, 100, 200, 500})
        if (fits(step * 365.25 * day)) return by_years(a, b, step);
    return by_years(a, b, 1000);
}

}  // namespace amphora::plot
