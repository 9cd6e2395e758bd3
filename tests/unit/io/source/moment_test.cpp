#include "io/source/moment.hpp"

#include <gtest/gtest.h>

#include <string_view>

namespace amphora::source {
namespace {

MomentRead read_whole(std::string_view text) { return read_moment(text.data(), text.data() + text.size()); }

void expect_us(std::string_view text, std::int64_t us) {
    const auto moment = read_whole(text);
    EXPECT_EQ(moment.fault, MomentFault::none) << text;
    EXPECT_EQ(moment.at.us, us) << text;
    EXPECT_EQ(moment.end, text.data() + text.size()) << text;
}

TEST(Moment, UnixSecondsToTheMicrosecond) {
    expect_us("0", 0);
    expect_us("1777593600", 1'777'593'600'000'000);
    expect_us("1777593600.", 1'777'593'600'000'000);
    expect_us("1777593600.5", 1'777'593'600'500'000);
    expect_us("1777593600.000001", 1'777'593'600'000'001);
    expect_us("1777593600.1234564", 1'777'593'600'123'456);
    expect_us("1777593600.1234565", 1'777'593'600'123'457);
    expect_us("1777593600.9999999", 1'777'593'601'000'000);
    expect_us("1.7775936e9", 1'777'593'600'000'000);
    expect_us("0000001777593600", 1'777'593'600'000'000);
}

// The examples of RFC 3339, section 5.8, in unix seconds by `date -u -d TEXT +%s`.
TEST(Moment, ExamplesOfRfc3339) {
    expect_us("1985-04-12T23:20:50.52Z", 482'196'050'520'000);
    expect_us("1996-12-19T16:39:57-08:00", 851'042'397'000'000);
    expect_us("1990-12-31T23:59:60Z", 662'688'000'000'000);
    expect_us("1990-12-31T15:59:60-08:00", 662'688'000'000'000);
    EXPECT_EQ(read_whole("1937-01-01T12:00:27.87+00:20").fault, MomentFault::beyond_calendar);
}

TEST(Moment, CalendarForms) {
    expect_us("2026-05-01 00:00:00", 1'777'593'600'000'000);
    expect_us("2026-05-01T00:00:00", 1'777'593'600'000'000);
    expect_us("2026-05-01t00:00:00z", 1'777'593'600'000'000);
    expect_us("2026-05-01T02:00:00+02:00", 1'777'593'600'000'000);
    expect_us("2026-05-01T02:00:00+0200", 1'777'593'600'000'000);
    expect_us("2026-04-30 19:00:00.25-05:00", 1'777'593'600'250'000);
    expect_us("9999-12-31T23:59:59Z", last_second * 1'000'000);
}

TEST(Moment, LeapYears) {
    expect_us("2000-02-29T00:00:00Z", 951'782'400'000'000);
    expect_us("2024-02-29T00:00:00Z", 1'709'164'800'000'000);
    EXPECT_EQ(read_whole("2023-02-29T00:00:00Z").fault, MomentFault::malformed);
    EXPECT_EQ(read_whole("2100-02-29T00:00:00Z").fault, MomentFault::malformed);
}

TEST(Moment, EveryDayOfFourCenturiesFollowsTheOneBefore) {
    std::int64_t expected = 0;
    for (int year = 1970; year < 2370; ++year)
        for (int month = 1; month <= 12; ++month)
            for (int day = 1; day <= 31; ++day) {
                char text[32];
                std::snprintf(text, sizeof text, "%04d-%02d-%02dT00:00:00Z", year, month, day);
                const auto moment = read_whole(text);
                if (moment.fault != MomentFault::none) continue;
                ASSERT_EQ(moment.at.us, expected) << text;
                expected += std::int64_t{86'400} * 1'000'000;
            }
    EXPECT_EQ(expected, std::int64_t{146'097} * 86'400 * 1'000'000);  // days in 400 Gregorian years
}

TEST(Moment, WhatIsNoTime) {
    for (const auto* text :
         {"", "-5", ".5", "noon", "2026-05-01", "2026-05-01T", "2026-13-01T00:00:00Z", "2026-00-01T00:00:00Z",
          "2026-05-32T00:00:00Z", "2026-05-01T24:00:00Z", "2026-05-01T00:60:00Z", "2026-05-01T00:00:61Z",
          "2026-05-01T00:00:00+24:00", "2026-05-01T00:00:00.Z", "2026-05-01T00:00:00+2", "2026-5-1T00:00:00Z"})
        EXPECT_EQ(read_whole(text).fault, MomentFault::malformed) << text;
}

TEST(Moment, BeyondTheCalendar) {
    for (const auto* text : {"1777593600000", "1777593600000000", "1e300", "1e999", "99999999999999999999999"})
        EXPECT_EQ(read_whole(text).fault, MomentFault::beyond_calendar) << text;
}

}  // namespace
}  // namespace amphora::source
