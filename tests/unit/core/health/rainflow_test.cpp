#include "core/health/rainflow.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

namespace amphora {
namespace {

std::vector<Swing<Fraction>> count(Rainflow<Fraction>& rainflow, const std::vector<double>& values) {
    std::vector<Swing<Fraction>> all;
    for (const double v : values) rainflow.push(Fraction(v), [&](const Swing<Fraction>& s) { all.push_back(s); });
    return all;
}

TEST(Rainflow, ValuesOnTheWayAreNoTurningPoints) {
    Rainflow<Fraction> rainflow;
    std::vector<Swing<Fraction>> open;
    count(rainflow, {0.5, 0.5, 0.6, 0.7, 0.9, 0.9, 0.6, 0.3});
    rainflow.report_open([&](const Swing<Fraction>& s) { open.push_back(s); });
    ASSERT_EQ(open.size(), 2u);
    EXPECT_NEAR(open[0].range.value(), 0.4, 1e-12);
    EXPECT_NEAR(open[1].range.value(), 0.6, 1e-12);
    EXPECT_EQ(open[1].count, 0.5);
}

TEST(Rainflow, SmallReversalsAreNoise) {
    std::vector<double> trembling;
    for (int i = 0; i <= 1000; ++i) trembling.push_back(0.2 + 0.6 * i / 1000.0 + (i % 2 ? 0.004 : -0.004));
    Rainflow<Fraction> rainflow(Fraction(0.02));
    EXPECT_TRUE(count(rainflow, trembling).empty());
    int open = 0;
    rainflow.report_open([&](const Swing<Fraction>& s) {
        ++open;
        EXPECT_NEAR(s.range.value(), 0.6, 0.01);
    });
    EXPECT_EQ(open, 1);
}

TEST(Rainflow, ReportingWhatIsOpenDoesNotEndTheCount) {
    Rainflow<Fraction> asked, left_alone;
    const std::vector<double> first{0.9, 0.4, 0.7, 0.5}, second{0.8, 0.2, 0.9};
    count(asked, first);
    asked.report_open([](const Swing<Fraction>&) {});
    count(left_alone, first);
    const auto a = count(asked, second), b = count(left_alone, second);
    ASSERT_EQ(a.size(), b.size());
    ASSERT_FALSE(a.empty());
    for (std::size_t i = 0; i < a.size(); ++i) EXPECT_EQ(a[i].range, b[i].range);
}

// Daily cycles of one depth: one full swing a day, nothing left over but the halves at the ends.
TEST(Rainflow, ThousandEqualDays) {
    std::vector<double> days;
    for (int i = 0; i < 1000; ++i) days.insert(days.end(), {1.0, 0.4});
    Rainflow<Fraction> rainflow;
    double swings = 0;
    for (const auto& s : count(rainflow, days)) swings += s.count;
    rainflow.report_open([&](const Swing<Fraction>& s) { swings += s.count; });
    EXPECT_NEAR(swings, 999.5, 1e-9);
}

TEST(Rainflow, NotANumberIsPassedOver) {
    Rainflow<Fraction> rainflow;
    EXPECT_TRUE(count(rainflow, {0.5, std::nan(""), 0.9, std::nan(""), 0.1}).empty());
    rainflow.report_open([](const Swing<Fraction>& s) { EXPECT_TRUE(s.range.known()); });
}

}  // namespace
}  // namespace amphora
