// Palmgren and Miner's rule, with a life curve through (50 %, 1200) and (80 %, 600); figures computed. The plain sum
// 10/1000 + 20/5000 = 0.014 is a textbook example.
#include <gtest/gtest.h>

#include <array>

#include "core/health/wear.hpp"

namespace amphora {
namespace {

TEST(Miner, PowerLawThroughTwoPoints) {
    const CycleLife life(Fraction(0.5), 1200, Fraction(0.8), 600);
    EXPECT_NEAR(life.exponent(), 1.4747698, 1e-6);
    EXPECT_NEAR(life.cycles(Fraction(1.0)), 431.749, 1e-3);
    EXPECT_NEAR(life.cycles(Fraction(0.3)), 2548.925, 1e-2);
    constexpr std::array<Swing<Fraction>, 2> swings{
        {{Fraction(0.3), Fraction(0.5), 50}, {Fraction(0.8), Fraction(0.5), 10}}};
    EXPECT_NEAR(life.damage(swings), 0.0362828, 1e-6);
}

TEST(Miner, TextbookSum) {
    const CycleLife life(Fraction(1.0), 1000, Fraction(0.5), 5000);
    constexpr std::array<Swing<Fraction>, 2> swings{
        {{Fraction(1.0), Fraction(0.5), 10}, {Fraction(0.5), Fraction(0.5), 20}}};
    EXPECT_NEAR(life.damage(swings), 0.014, 1e-12);
}

}  // namespace
}  // namespace amphora
