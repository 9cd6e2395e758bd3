#include "io/source/moment.hpp"

namespace amphora::source {
namespace {

constexpr std::int64_t seconds_per_day = 86'400;

constexpr bool is_leap(int year) { return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0; }

constexpr int days_in(int month, int year) {
    if (month == 2) return is_leap(year) ? 29 : 28;
    return month == 4 || month == 6 || month == 9 || month == 11 ? 30 : 31;
}

// Days from 1970-01-01 in the Gregorian calendar: years are counted from March, so that the leap day comes last and
// the months before it follow one straight line (153 days in every five months).
constexpr std::int64_t days_since_1970(int year, int month, int day) {
    const int from_march = (month + 9) % 12;
    const std::int64_t y = year - (month <= 2 ? 1 : 0);
    const std::int64_t day_of_year = (153 * from_march + 2) / 5 + day - 1;
    return 365 * y + y / 4 - y / 100 + y / 400 + day_of_year - 719'468;
}
static_assert(days_since_1970(1970, 1, 1) == 0);
static_assert(days_since_1970(2000, 3, 1) == 11'017);

// Takes fixed-width pieces from a text; once one does not fit, all later ones fail too.
class Scanner {
public:
    Scanner(const char* first, const char* last) : p_(first), last_(last) {}

    int number(int width) {
        int value = 0;
        for (; width > 0; --width) {
            if (p_ == last_ || !is_digit(*p_)) return fail();
            value = value * 10 + (*p_++ - '0');
        }
        return value;
    }
    bool take(char wanted) {
        if (p_ == last_ || *p_ != wanted) return false;
        ++p_;
        return true;
    }
    void expect(char wanted) {
        if (!take(wanted)) fail();
    }
    std::int64_t fraction() {
        if (!take('.')) return 0;
        if (p_ == last_ || !is_digit(*p_)) return fail();
        return read_microseconds(p_, last_);
    }
    int fail() {
        failed_ = true;
        last_ = p_;
        return 0;
    }
    [[nodiscard]] bool failed() const { return failed_; }
    [[nodiscard]] const char* position() const { return p_; }

private:
    const char* p_;
    const char* last_;
    bool failed_ = false;
};

// Seconds that the zone is ahead of UTC; the colon may be left out, as `date +%z` does.
int zone_offset(Scanner& text) {
    if (text.take('Z') || text.take('z')) return 0;
    const bool ahead = text.take('+');
    if (!ahead && !text.take('-')) return 0;
    const int hours = text.number(2);
    text.take(':');
    const int minutes = text.number(2);
    if (hours > 23 || minutes > 59) text.fail();
    return (ahead ? 1 : -1) * (hours * 3600 + minutes * 60);
}

}  // namespace

MomentRead read_calendar_moment(const char* first, const char* last) {
    Scanner text(first, last);
    const int year = text.number(4);
    text.expect('-');
    const int month = text.number(2);
    text.expect('-');
    const int day = text.number(2);
    if (!text.take('T') && !text.take('t')) text.expect(' ');
    const int hour = text.number(2);
    text.expect(':');
    const int minute = text.number(2);
    text.expect(':');
    const int second = text.number(2);
    const auto us = text.fraction();
    const int ahead = zone_offset(text);
    const bool real = month >= 1 && month <= 12 && day >= 1 && day <= days_in(month, year) && hour <= 23 &&
                      minute <= 59 && second <= 60;
    if (text.failed() || !real) return {{}, first, MomentFault::malformed};
    const auto seconds = days_since_1970(year, month, day) * seconds_per_day + std::int64_t{hour} * 3600 +
                         std::int64_t{minute} * 60 + second - ahead;
    if (seconds < 0 || seconds > last_second) return {{}, text.position(), MomentFault::beyond_calendar};
    return {Instant{seconds * 1'000'000 + us}, text.position(), MomentFault::none};
}

MomentRead read_long_unix_moment(const char* first, const char* last) {
    const auto [seconds, end, fault] = read_decimal(first, last);
    if (fault == NumberFault::malformed) return {{}, first, MomentFault::malformed};
    if (fault != NumberFault::none || seconds < 0 || seconds > static_cast<double>(last_second))
        return {{}, end, MomentFault::beyond_calendar};
    return {Instant::from_unix(seconds), end, MomentFault::none};
}

}  // namespace amphora::source
