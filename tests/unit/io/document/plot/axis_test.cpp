#include "io/document/plot/axis.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace amphora::plot {
namespace {

using testing::ElementsAre;

constexpr Instant may{1'777'593'600'000'000};  // 2026-05-01 00:00 UTC

Instant after(double seconds) { return may + Second(seconds); }

TEST(ValueAxis, RoundStepsThatCoverTheRange) {
    const auto axis = ValueAxis::covering(-87.0, 52.0, 4);
    EXPECT_THAT(axis.lines(), ElementsAre(-100.0, -50.0, 0.0, 50.0, 100.0));
    EXPECT_EQ(axis.label(-50.0), "-50");
}

TEST(ValueAxis, AsManyDecimalsAsTheStepNeeds) {
    const auto axis = ValueAxis::covering(12.93, 13.18, 4);
    EXPECT_EQ(axis.label(axis.low), "12.9");
    EXPECT_EQ(ValueAxis::covering(0.0, 0.02, 4).label(0.005), "0.005");
    EXPECT_EQ(axis.label(-1e-12), "0.0");
}

TEST(ValueAxis, ASingleValueHasRoomAroundIt) {
    const auto axis = ValueAxis::covering(13.2, 13.2, 4);
    EXPECT_LT(axis.low, 13.2);
    EXPECT_GT(axis.high, 13.2);
}

TEST(ValueAxis, NothingKnownStillGivesAnAxis) {
    const auto axis = ValueAxis::covering(INFINITY, -INFINITY, 4);
    EXPECT_GE(axis.lines().size(), 2U);
    EXPECT_TRUE(std::isfinite(axis.low) && std::isfinite(axis.high));
}

std::vector<std::string> labels(Instant first, Instant last, int most) {
    std::vector<std::string> all;
    for (const auto& line : time_lines(first, last, most))
        all.push_back(line.fine + (line.coarse.empty() ? "" : "/" + line.coarse));
    return all;
}

TEST(TimeLines, HoursOfADay) {
    EXPECT_THAT(labels(after(-3600), after(86'400), 6),
                ElementsAre("00:00/1 May", "06:00", "12:00", "18:00", "00:00/2 May"));
}

TEST(TimeLines, SecondsOfAMinute) {
    EXPECT_THAT(labels(after(1), after(59), 5), ElementsAre("00:00:15/1 May", "00:00:30", "00:00:45"));
}

TEST(TimeLines, DaysOfMonths) {
    EXPECT_THAT(labels(after(-86'400 * 8), after(86'400 * 8.5), 5), ElementsAre("26/Apr 2026", "1/May 2026", "6"));
}

TEST(TimeLines, TheLastDaysOfAMonthDoNotCrowdTheFirst) {
    EXPECT_THAT(labels(after(86'400 * 20), after(86'400 * 35), 4), ElementsAre("21/May 2026", "26", "1/Jun 2026"));
}

TEST(TimeLines, MonthsOfYears) {
    EXPECT_THAT(labels(after(-86'400 * 150), after(86'400 * 100), 5), ElementsAre("Jan/2026", "Mar", "May", "Jul"));
}

TEST(TimeLines, Years) {
    EXPECT_THAT(labels(after(-86'400.0 * 2000), after(86'400.0 * 2000), 13),
                ElementsAre("2021", "2022", "2023", "2024", "2025", "2026", "2027", "2028", "2029", "2030", "2031"));
}

TEST(TimeLines, NeverMoreThanAsked) {
    for (double span = 1.0; span < 3e10; span *= 1.37) {
        const auto count = time_lines(after(-1234.5), after(span), 13).size();
        EXPECT_LE(count, 14U) << span;
        EXPECT_GE(count, span > 3.0 ? 2U : 0U) << span;
    }
}

}  // namespace
}  // namespace amphora::plot
