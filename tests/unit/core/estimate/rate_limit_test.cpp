#include "core/estimate/rate_limit.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace amphora {
namespace {

Battery flooded() {
    Battery battery;
    battery.chemistry = Chemistry::flooded;
    battery.design_capacity = AmpHour(100);
    battery.rated_over = Hour(20);
    return battery;
}

Step minute_at(double ampere) {
    Step step;
    step.length_ms = 60'000;
    (ampere > 0 ? step.charge_in_ah : step.charge_out_ah) = static_cast<float>(std::abs(ampere) / 60.0);
    return step;
}

// 100 Ah at 20 h, exponent 1.25: 20 h (5/50)^1.25 = 1.125 h at 50 A (hour-rated form, values by calculation).
TEST(RateLimit, AFullBatteryLastsAsLongAsItsExponentSays) {
    RateLimit limit(flooded());
    for (int k = 0; k < 3000; ++k) limit.follow(minute_at(0.0), Fraction(1.0));
    EXPECT_NEAR(limit.time_to_empty(Ampere(-50), AmpHour(100)).value(), 1.125, 0.15);
    EXPECT_TRUE(std::isinf(limit.time_to_empty(Ampere(-5), AmpHour(100)).value()));
}

TEST(RateLimit, AHighCurrentEndsBeforeTheChargeIsGoneAndRestBringsItBack) {
    RateLimit limit(flooded());
    for (int k = 0; k < 3000; ++k) limit.follow(minute_at(0.0), Fraction(1.0));
    const double fresh = limit.time_to_empty(Ampere(-50), AmpHour(100)).value();
    EXPECT_LT(fresh, 100.0 / 50.0 * 0.8);
    double charge = 1.0;
    for (int k = 0; k < 45; ++k) limit.follow(minute_at(-50.0), Fraction(charge -= 50.0 / 60.0 / 100.0));
    const double tired = limit.time_to_empty(Ampere(-50), AmpHour(100)).value();
    for (int k = 0; k < 600; ++k) limit.follow(minute_at(0.0), Fraction(charge));
    EXPECT_GT(limit.time_to_empty(Ampere(-50), AmpHour(100)).value(), tired + 0.05);
}

TEST(RateLimit, SaysNothingOfLithiumNorOfCharging) {
    Battery lithium = flooded();
    lithium.chemistry = Chemistry::lfp;
    EXPECT_TRUE(std::isinf(RateLimit(lithium).time_to_empty(Ampere(-50), AmpHour(100)).value()));
    EXPECT_TRUE(std::isinf(RateLimit(flooded()).time_to_empty(Ampere(5), AmpHour(100)).value()));
}

}  // namespace
}  // namespace amphora
