// Inverse-time curves against the constants of IEC 60255-151:2009, Annex A, and the times that textbooks on protection
// print for them (10.03 s, 13.5 s, 26.7 s at twice the setting; 2.97 s, 1.5 s, 0.81 s at ten times), from memory.
#include <gtest/gtest.h>

#include "core/guard/time_curve.hpp"

namespace amphora::guard {
namespace {

double seconds(TimeCurve curve, double multiple) {
    return time_to_trip(curve, Level(multiple * 50.0), Level(50.0)).value();
}

TEST(Iec60255, TimesAtTwiceTheSetting) {
    EXPECT_NEAR(seconds(TimeCurve::standard_inverse, 2), 10.03, 0.005);
    EXPECT_NEAR(seconds(TimeCurve::very_inverse, 2), 13.5, 1e-9);
    EXPECT_NEAR(seconds(TimeCurve::extremely_inverse, 2), 26.67, 0.005);
}

TEST(Iec60255, TimesAtTenTimesTheSetting) {
    EXPECT_NEAR(seconds(TimeCurve::standard_inverse, 10), 2.97, 0.005);
    EXPECT_NEAR(seconds(TimeCurve::very_inverse, 10), 1.5, 1e-9);
    EXPECT_NEAR(seconds(TimeCurve::extremely_inverse, 10), 0.808, 0.0005);
}

TEST(Iec60255, BeyondTwentyTimesTheTimeNoLongerShrinks) {
    EXPECT_EQ(seconds(TimeCurve::very_inverse, 20), seconds(TimeCurve::very_inverse, 100));
}

TEST(Iec60255, BelowTheSettingNever) {
    EXPECT_FALSE(time_to_trip(TimeCurve::standard_inverse, Level(49.9), Level(50)).known());
    EXPECT_FALSE(time_to_trip(TimeCurve::undervoltage_inverse, Level(50), Level(50)).known());
}

// IEC 60255-127:2010, dependent time for undervoltage, from memory: half the voltage, two seconds.
TEST(Iec60255, Undervoltage) {
    EXPECT_NEAR(time_to_trip(TimeCurve::undervoltage_inverse, Level(6), Level(12)).value(), 2.0, 1e-12);
    EXPECT_NEAR(time_to_trip(TimeCurve::undervoltage_inverse, Level(0), Level(12)).value(), 1.0, 1e-12);
}

}  // namespace
}  // namespace amphora::guard
