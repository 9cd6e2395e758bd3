#include "core/guard/rule.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace amphora::guard {
namespace {

described::Guard low_voltage() {
    described::Guard g;
    g.trip_below = Level(12.0);
    g.trip_after = Second(60);
    g.clear_above = Level(12.8);
    g.clear_after = Second(120);
    return g;
}

std::optional<Change> hold(Rule& rule, double value, double seconds) {
    rule.see(Level(value));
    return rule.pass(Second(seconds));
}

TEST(Rule, TripsAfterItsDelayAndSaysWhen) {
    Rule rule(low_voltage());
    EXPECT_FALSE(hold(rule, 11.9, 59.0));
    EXPECT_EQ(rule.phase(), Phase::timing);
    const auto change = hold(rule, 11.7, 5.0);
    ASSERT_TRUE(change);
    EXPECT_TRUE(change->tripped);
    EXPECT_DOUBLE_EQ(change->ago.value(), 4.0);
    EXPECT_EQ(rule.worst(), Level(11.7));
}

TEST(Rule, AMomentOnTheRightSideBeginsTheDelayAnew) {
    Rule rule(low_voltage());
    EXPECT_FALSE(hold(rule, 11.9, 59.0));
    EXPECT_FALSE(hold(rule, 12.0, 0.1)) << "at the level is not below it";
    EXPECT_EQ(rule.phase(), Phase::clear);
    EXPECT_FALSE(hold(rule, 11.9, 59.0));
}

TEST(Rule, BetweenTheLevelsNothingChanges) {
    Rule rule(low_voltage());
    ASSERT_TRUE(hold(rule, 11.0, 60.0));
    EXPECT_FALSE(hold(rule, 12.79, 1e6));
    EXPECT_TRUE(rule.tripped());
    EXPECT_FALSE(hold(rule, 12.8, 119.0));
    EXPECT_EQ(rule.phase(), Phase::clearing);
    EXPECT_FALSE(hold(rule, 12.7, 1.0));
    EXPECT_EQ(rule.phase(), Phase::tripped);
    EXPECT_FALSE(hold(rule, 13.0, 119.0));
    const auto change = hold(rule, 13.0, 1.0);
    ASSERT_TRUE(change);
    EXPECT_FALSE(change->tripped);
}

TEST(Rule, WithoutAValueNoDelayRuns) {
    Rule rule(low_voltage());
    EXPECT_FALSE(hold(rule, 11.9, 40.0));
    rule.see(Level::missing());
    EXPECT_TRUE(rule.blind());
    EXPECT_FALSE(rule.pass(Second(1000.0)));
    EXPECT_FALSE(hold(rule, 11.9, 19.0));
    EXPECT_TRUE(hold(rule, 11.9, 1.0)) << "the 40 s before still count";
}

TEST(Rule, TripsAboveAsWell) {
    described::Guard g;
    g.trip_above = Level(14.6);
    g.clear_below = Level(13.6);
    Rule rule(g);
    EXPECT_FALSE(hold(rule, 14.6, 10.0));
    EXPECT_TRUE(hold(rule, 14.61, 0.0)) << "without a delay, at once";
    EXPECT_TRUE(hold(rule, 13.6, 0.0));
}

TEST(Rule, LatchedUntilClearedByHand) {
    auto g = low_voltage();
    g.clear_above = Level::missing();
    g.latches = true;
    Rule rule(g);
    ASSERT_TRUE(hold(rule, 11.0, 60.0));
    EXPECT_FALSE(hold(rule, 14.0, 1e7));
    EXPECT_TRUE(rule.tripped());
    rule.clear();
    EXPECT_FALSE(rule.tripped());
}

TEST(Rule, AnEndlessTimeToEmptyIsAValue) {
    described::Guard g;
    g.trip_below = Level(2.0);
    g.clear_above = Level(6.0);
    Rule rule(g);
    ASSERT_TRUE(hold(rule, 1.5, 0.0));
    ASSERT_TRUE(hold(rule, std::numeric_limits<double>::infinity(), 0.0));
    EXPECT_FALSE(rule.blind());
    EXPECT_FALSE(rule.tripped());
}

TEST(Rule, UsesUpAnInverseTimeInShares) {
    described::Guard g;
    g.trip_above = Level(100.0);
    g.curve = TimeCurve::very_inverse;  // 13.5 s at twice, 6.75 s at three times the level
    g.latches = true;
    Rule rule(g);
    EXPECT_FALSE(hold(rule, 200.0, 6.75));
    const auto change = hold(rule, 300.0, 4.0);
    ASSERT_TRUE(change);
    EXPECT_NEAR(change->ago.value(), 4.0 - 6.75 / 2.0, 1e-9);
}

TEST(Rule, AHairBeyondTheLevelTakesACurveForEver) {
    described::Guard under;
    under.trip_below = Level(10.4);
    under.trip_after = Second(2);
    under.curve = TimeCurve::undervoltage_inverse;
    Rule low(under);
    EXPECT_FALSE(hold(low, std::nextafter(10.4, 0.0), 86400.0));
    described::Guard over;
    over.trip_above = Level(1.0);
    over.curve = TimeCurve::standard_inverse;
    Rule high(over);
    EXPECT_FALSE(hold(high, 1.0 + 1e-13, 86400.0));
}

TEST(Rule, ASurgeThatEndsInTimeDoesNotTripTheCurve) {
    described::Guard g;
    g.trip_below = Level(10.8);
    g.trip_after = Second(2);
    g.clear_above = Level(13.0);
    g.curve = TimeCurve::undervoltage_inverse;  // 10.8 s at 9.8 V
    Rule rule(g);
    for (int surge = 0; surge < 20; ++surge) {
        EXPECT_FALSE(hold(rule, 9.8, 5.0));
        EXPECT_FALSE(hold(rule, 12.9, 1.0));
    }
    EXPECT_FALSE(hold(rule, 9.8, 10.7));
    EXPECT_TRUE(hold(rule, 9.8, 0.2));
}

}  // namespace
}  // namespace amphora::guard
