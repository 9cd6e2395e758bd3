#include "app/demo_past.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

namespace {

using namespace amphora;
using app::DemoPast;

constexpr Instant at(double seconds) { return Instant::from_unix(1'000'000'000 + seconds); }

Estimate estimate(double seconds, double soc) {
    Estimate e;
    e.at = at(seconds);
    e.state_of_charge = {Fraction(soc), Fraction(0.02)};
    return e;
}

// Six readings, one each ten seconds, and the end of the piece.
void live_a_minute(DemoPast& past, double from, Ampere current, double soc) {
    for (int i = 1; i <= 6; ++i) past.read({at(from + 10 * i), current, Volt(13), Celsius(20)});
    past.close(estimate(from + 60, soc));
}

class Past : public ::testing::Test {
protected:
    Past() {
        past.read({at(0), Ampere(0), Volt(13), Celsius(20)});
        live_a_minute(past, 0, Ampere(-6), 0.5);
        live_a_minute(past, 60, Ampere(12), 0.6);
        live_a_minute(past, 120, Ampere(-30), 0.4);
    }
    DemoPast past;
};

TEST_F(Past, IsGivenInPieces) {
    const auto series = past.series(at(0), at(180), 3);
    ASSERT_EQ(series.size(), 3U);
    EXPECT_EQ(series[1].from, at(60));
    EXPECT_NEAR(series[1].state_of_charge.mean.value(), 0.6, 1e-6);
    EXPECT_NEAR(series[1].current.value(), 12, 1e-5);
    EXPECT_NEAR(series[1].voltage.value(), 13, 1e-5);
    EXPECT_NEAR(series[1].moved.in.value(), 12.0 / 60, 1e-6);
    EXPECT_EQ(series[1].moved.out.value(), 0);
}

TEST_F(Past, GathersWhatFallsIntoOnePiece) {
    const auto series = past.series(at(0), at(180), 1);
    ASSERT_EQ(series.size(), 1U);
    EXPECT_NEAR(series[0].state_of_charge.mean.value(), 0.5, 1e-6);
    EXPECT_NEAR(series[0].current.value(), -8, 1e-5);
    EXPECT_NEAR(series[0].current_low.value(), -30, 1e-5);
    EXPECT_NEAR(series[0].current_high.value(), 12, 1e-5);
    EXPECT_NEAR(series[0].moved.in.value(), 12.0 / 60, 1e-6);
    EXPECT_NEAR(series[0].moved.out.value(), 36.0 / 60, 1e-6);
}

TEST_F(Past, KnowsNothingOfOtherTimes) {
    for (const auto& bucket : past.series(at(1000), at(2000), 4)) {
        EXPECT_FALSE(bucket.state_of_charge.mean.known());
        EXPECT_FALSE(bucket.current.known());
        EXPECT_FALSE(bucket.current_low.known());
        EXPECT_EQ(bucket.moved.out.value(), 0);
    }
    EXPECT_TRUE(DemoPast().empty());
    EXPECT_FALSE(DemoPast().series(at(0), at(60), 1).front().voltage.known());
}

TEST_F(Past, IsKnownBetterLater) {
    EXPECT_FALSE(past.series(at(0), at(60), 1).front().hindsight.mean.known());
    const std::array steps{Hindsight{at(30), {Fraction(0.1), Fraction(0.01)}},
                           Hindsight{at(60), {Fraction(0.55), Fraction(0.01)}},
                           Hindsight{at(180), {Fraction(0.45), Fraction(0.01)}}};
    past.look_back(steps);
    EXPECT_NEAR(past.series(at(0), at(60), 1).front().hindsight.mean.value(), 0.55, 1e-6);
    EXPECT_FALSE(past.series(at(60), at(120), 1).front().hindsight.mean.known());
    EXPECT_NEAR(past.series(at(120), at(180), 1).front().hindsight.sd.value(), 0.01, 1e-6);
}

TEST_F(Past, CountsWhatMovedSince) {
    const auto moved = past.moved_since(at(60));
    EXPECT_NEAR(moved.in.value(), 12.0 / 60, 1e-6);
    EXPECT_NEAR(moved.out.value(), 30.0 / 60, 1e-6);
}

TEST_F(Past, AGapIsNoMeasurement) {
    past.read({at(180 + 3600), Ampere(-10), Volt::missing(), Celsius::missing()});
    past.close(estimate(180 + 3600, 0.4));
    const auto hour = past.series(at(180), at(180 + 3600), 1).front();
    EXPECT_LT(hour.moved.out.value(), 10.0 / 60 + 1e-6) << "one reading stands for a minute at most";
    EXPECT_FALSE(hour.voltage.known());
}

}  // namespace
