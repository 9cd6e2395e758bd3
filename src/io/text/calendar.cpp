#include "io/text/calendar.hpp"

#include <fmt/core.h>

#include <array>
#include <chrono>
#include <string_view>

namespace amphora::text {
namespace {

using namespace std::chrono;

constexpr std::array<std::string_view, 7> weekdays{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
struct Civil {
    explicit Civil(Instant at)
        : day(floor<days>(sys_time<microseconds>(microseconds(at.us)))),
          date(day),
          time(floor<minutes>(sys_time<microseconds>(microseconds(at.us)) - day)) {}

    [[nodiscard]] std::string clock() const {
        return fmt::format("{:02}:{:02}", time.hours().count(), time.minutes().count());
    }
    [[nodiscard]] std::string_view weekday_name() const { return weekdays[weekday(day).c_encoding()]; }
    [[nodiscard]] std::string day_of_month() const {
        return fmt::format("{} {}", static_cast<unsigned>(date.day()),
                           month_marks[static_cast<unsigned>(date.month()) - 1]);
    }
    [[nodiscard]] int year() const { return static_cast<int>(date.year()); }

    sys_days day;
    year_month_day date;
    hh_mm_ss<minutes> time;
};

}  // namespace

std::string date_and_time(Instant at) {
    const Civil moment(at);
    return fmt::format("{:04}-{:02}-{:02} {}", moment.year(), static_cast<unsigned>(moment.date.month()),
                       static_cast<unsigned>(moment.date.day()), moment.clock());
}

std::string time_of_day(Instant at) { return Civil(at).clock(); }

std::string moment_near(Instant now, Instant at) {
    const Civil there(at);
    const auto apart = abs(there.day - Civil(now).day);
    if (apart <= days(6)) return fmt::format("{} {}", there.weekday_name(), there.clock());
    if (apart <= days(182)) return fmt::format("{} {}", there.weekday_name(), there.day_of_month());
    return fmt::format("{} {}", there.day_of_month(), there.year());
}

bool same_day(Instant a, Instant b) { return Civil(a).day == Civil(b).day; }

}  // namespace amphora::text
