#include "core/battery/self_discharge.hpp"

#include <gtest/gtest.h>

namespace amphora {
namespace {

// 3 % of 100 Ah in a month is 4.1 mA (recomputed: 3 Ah / 730.5 h).
TEST(SelfDischarge, AsACurrent) {
    EXPECT_NEAR(self_discharge_current(LossPerMonth(0.03), AmpHour(100), Celsius(25)).value(), 4.1e-3, 0.05e-3);
}

TEST(SelfDischarge, DoublesPerTenKelvin) {
    const Ampere warm = self_discharge_current(LossPerMonth(0.03), AmpHour(100), Celsius(35));
    const Ampere cold = self_discharge_current(LossPerMonth(0.03), AmpHour(100), Celsius(15));
    EXPECT_NEAR(warm / cold, 4.0, 1e-12);
}

// Published: lead-acid 5 % a month.
TEST(SelfDischarge, FloodedAsPublished) {
    EXPECT_DOUBLE_EQ(usual_self_discharge(Chemistry::flooded).value(), 0.05);
    EXPECT_LT(usual_self_discharge(Chemistry::lfp), usual_self_discharge(Chemistry::flooded));
}

}  // namespace
}  // namespace amphora
