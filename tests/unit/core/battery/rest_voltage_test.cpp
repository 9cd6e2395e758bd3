#include "core/battery/rest_voltage.hpp"

#include <gtest/gtest.h>

namespace amphora {
namespace {

// Aitken's formula; figures recomputed from it.
TEST(SettledVoltage, GeometricApproach) {
    const auto v = settled_voltage(Volt(13.10), Volt(13.04), Volt(13.004));
    ASSERT_TRUE(v);
    EXPECT_NEAR(v->mean.value(), 12.95, 1e-9);
    EXPECT_NEAR(v->sd.value(), 0.027, 1e-9);
}

TEST(SettledVoltage, WorksUpwardsToo) {
    const auto v = settled_voltage(Volt(11.90), Volt(12.00), Volt(12.05));
    ASSERT_TRUE(v);
    EXPECT_NEAR(v->mean.value(), 12.10, 1e-9);
}

TEST(SettledVoltage, RefusesWhatDoesNotSettle) {
    EXPECT_FALSE(settled_voltage(Volt(13.10), Volt(13.04), Volt(12.985)));  // ratio 0.917: noise would be amplified
    EXPECT_FALSE(settled_voltage(Volt(13.10), Volt(13.04), Volt(12.90)));   // falls faster and faster
    EXPECT_FALSE(settled_voltage(Volt(13.10), Volt(13.04), Volt(13.07)));   // turns round
    EXPECT_FALSE(settled_voltage(Volt(13.10), Volt(13.10), Volt(13.10)));   // does not move
    EXPECT_FALSE(settled_voltage(Volt(13.10), Volt::missing(), Volt(13.00)));
}

}  // namespace
}  // namespace amphora
