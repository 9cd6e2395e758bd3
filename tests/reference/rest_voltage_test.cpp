// Rest voltage of lead-acid batteries. Flooded: Battery Council International type table for 12 V at 26.7 C, read in a
// maker's copy (discoverbattery.com, tables 6-8). AGM: ranges read in a vehicle owner's manual
// (publications.polaris.com). Gel: from memory.
#include "core/battery/rest_voltage.hpp"

#include <gtest/gtest.h>

namespace amphora {
namespace {

double charge_at(Chemistry chemistry, double volts, int cells = 6) {
    const auto s = state_of_charge_at_rest(chemistry, {Volt(volts), Volt(0.02)}, cells);
    return s.value_or(Uncertain<Fraction>{Fraction::missing(), {}}).mean.value();
}

TEST(RestVoltage, FloodedTable) {
    EXPECT_DOUBLE_EQ(charge_at(Chemistry::flooded, 12.65), 1.00);
    EXPECT_DOUBLE_EQ(charge_at(Chemistry::flooded, 12.45), 0.75);
    EXPECT_DOUBLE_EQ(charge_at(Chemistry::flooded, 12.24), 0.50);
    EXPECT_DOUBLE_EQ(charge_at(Chemistry::flooded, 12.06), 0.25);
    EXPECT_DOUBLE_EQ(charge_at(Chemistry::flooded, 11.89), 0.00);
    EXPECT_NEAR(charge_at(Chemistry::flooded, 12.15), 0.375, 1e-9);
}

TEST(RestVoltage, AgmRanges) {
    EXPECT_DOUBLE_EQ(charge_at(Chemistry::agm, 13.0), 1.0);
    EXPECT_NEAR(charge_at(Chemistry::agm, 12.7), 0.875, 1e-9);
    EXPECT_DOUBLE_EQ(charge_at(Chemistry::agm, 12.6), 0.75);
    EXPECT_DOUBLE_EQ(charge_at(Chemistry::agm, 12.3), 0.50);
    EXPECT_DOUBLE_EQ(charge_at(Chemistry::agm, 12.0), 0.25);
}

TEST(RestVoltage, GelTable) {
    EXPECT_DOUBLE_EQ(charge_at(Chemistry::gel, 12.85), 1.0);
    EXPECT_DOUBLE_EQ(charge_at(Chemistry::gel, 12.35), 0.5);
}

TEST(RestVoltage, TwentyFourVoltsIsTwiceTwelve) {
    EXPECT_DOUBLE_EQ(charge_at(Chemistry::flooded, 24.90, 12), 0.75);
    EXPECT_DOUBLE_EQ(charge_at(Chemistry::flooded, 6.225, 3), 0.75);
}

// Remark beside the simple 12.6/12.4/12.2/12.0/11.6 V rule (lists.ettus.com): 10 % is 80 mV, so a 1 % voltmeter (120
// mV) means +-15 %.
TEST(RestVoltage, AOnePercentVoltmeterLeavesFifteenPoints) {
    const auto s = state_of_charge_at_rest(Chemistry::flooded, {Volt(12.3), Volt(0.12)}, 6);
    ASSERT_TRUE(s);
    EXPECT_NEAR(s->sd.value(), 0.15, 0.02);
}

TEST(RestVoltage, SaysNothingForOtherChemistriesOrNoVoltage) {
    EXPECT_FALSE(state_of_charge_at_rest(Chemistry::lfp, {Volt(13.2), Volt(0.01)}, 4));
    EXPECT_FALSE(state_of_charge_at_rest(Chemistry::agm, {Volt::missing(), Volt(0.01)}, 6));
}

}  // namespace
}  // namespace amphora
