#include "core/health/step_resistance.hpp"

#include <gtest/gtest.h>

namespace amphora {
namespace {

// Line through the origin, recomputed by hand from its formula.
TEST(StepResistance, PoolsSteps) {
    StepResistance steps;
    EXPECT_FALSE(steps.resistance(Volt(0.003)));
    steps.add(Ampere(-8), Volt(-0.064));
    steps.add(Ampere(12), Volt(0.098));
    steps.add(Ampere(-20), Volt(-0.158));
    steps.add(Ampere(5), Volt(0.041));
    const auto r = steps.resistance(Volt(0.003));
    ASSERT_TRUE(r);
    EXPECT_NEAR(r->mean.value(), 0.0079826224, 1e-10);
    EXPECT_NEAR(r->sd.value(), 1.6863e-4, 1e-8);
}

TEST(StepResistance, OneSmallStepIsWorthLittle) {
    StepResistance steps;
    steps.add(Ampere(10), Volt(0.01));
    EXPECT_NEAR(steps.resistance(Volt(0.003))->sd.value(), 0.4243e-3, 1e-7);
}

// Arrhenius' law with 20 kJ/mol, recomputed.
TEST(StepResistance, NormalisedTo25Celsius) {
    const JoulePerMole activation(20e3);
    EXPECT_NEAR(at_25_celsius(Ohm(10), Celsius(0), activation).value(), 4.778713, 2e-6);
    EXPECT_NEAR(at_25_celsius(Ohm(10), Celsius(10), activation).value(), 6.522019, 2e-6);
    EXPECT_NEAR(at_25_celsius(Ohm(10), Celsius(40), activation).value(), 14.717553, 2e-6);
    EXPECT_DOUBLE_EQ(at_25_celsius(Ohm(10), Celsius(25), activation).value(), 10);
}

}  // namespace
}  // namespace amphora
