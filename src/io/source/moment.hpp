// Moments from text: unix seconds, or a calendar date and time of day as in RFC 3339.
#pragma once

#include <cstdint>

#include "core/quantity/instant.hpp"
#include "io/source/decimal.hpp"

namespace amphora::source {

enum class MomentFault : std::uint8_t { none, malformed, beyond_calendar };

/// A moment read from the front of a text, and where it ended. Without a fault it lies in the years 1970 to 9999.
struct MomentRead {
    Instant at;
    const char* end;
    MomentFault fault;
};

/// The last second of the year 9999. A log in milliseconds lies far beyond it.
constexpr std::int64_t last_second = 253'402'300'799;

/// Reads YYYY-MM-DD, then `T` or a blank, then HH:MM:SS[.digits][Z|+HH:MM|-HH:MM] (RFC 3339); without a zone it is UTC.
/// The leap second :60 is the first second of the next minute, as in POSIX time.
MomentRead read_calendar_moment(const char* first, const char* last);

/// Unix seconds with an exponent or more than 12 digits; slower.
MomentRead read_long_unix_moment(const char* first, const char* last);

/// The digits after the point as microseconds, rounded at the seventh; moves p behind the digits.
inline std::int64_t read_microseconds(const char*& p, const char* last) {
    std::int64_t us = 0;
    int digits = 0;
    for (; p != last && is_digit(*p) && digits < 6; ++p, ++digits) us = us * 10 + (*p - '0');
    for (; digits < 6; ++digits) us *= 10;
    if (p != last && is_digit(*p)) {
        if (*p >= '5') ++us;
        while (p != last && is_digit(*p)) ++p;
    }
    return us;
}

/// Reads a moment from the front of [first, last): unix seconds with or without a fraction, or a calendar moment.
/// Whole microseconds come out exact, without a detour through a double.
inline MomentRead read_moment(const char* first, const char* last) {
    const char* p = first;
    std::int64_t seconds = 0;
    while (p != last && is_digit(*p) && p - first < 13) seconds = seconds * 10 + (*p++ - '0');
    if (p == first) return {{}, first, MomentFault::malformed};
    std::int64_t us = 0;
    if (p != last) {
        if (*p == '-' && p - first == 4) return read_calendar_moment(first, last);
        if (*p == '.') us = read_microseconds(++p, last);
        if (p != last && (*p == 'e' || *p == 'E' || is_digit(*p))) return read_long_unix_moment(first, last);
    }
    if (seconds > last_second) return {{}, p, MomentFault::beyond_calendar};
    return {Instant{seconds * 1'000'000 + us}, p, MomentFault::none};
}

}  // namespace amphora::source
