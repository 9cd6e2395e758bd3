#include "io/text/calendar.hpp"

#include <gtest/gtest.h>

namespace amphora::text {
namespace {

constexpr Instant friday{1'777'593'600'000'000};  // 2026-05-01 00:00 UTC, a Friday

Instant after(double hours) { return friday + Second(hours * 3600.0); }

TEST(Calendar, DateAndTime) {
    EXPECT_EQ(date_and_time(friday), "2026-05-01 00:00");
    EXPECT_EQ(date_and_time(after(62.175)), "2026-05-03 14:10");
    EXPECT_EQ(time_of_day(after(62.175)), "14:10");
}

TEST(Calendar, AMomentNearAnother) {
    EXPECT_EQ(moment_near(friday, after(3.5)), "Fri 03:30");
    EXPECT_EQ(moment_near(friday, after(6 * 24)), "Thu 00:00");
    EXPECT_EQ(moment_near(friday, after(7 * 24)), "Fri 8 May");
    EXPECT_EQ(moment_near(friday, after(-24)), "Thu 00:00");
    EXPECT_EQ(moment_near(friday, after(400 * 24)), "5 Jun 2027");
}

TEST(Calendar, SameDay) {
    EXPECT_TRUE(same_day(friday, after(23.9)));
    EXPECT_FALSE(same_day(friday, after(24)));
}

}  // namespace
}  // namespace amphora::text
