#include "core/quantity/curve.hpp"

#include <gtest/gtest.h>

#include <array>

namespace amphora {
namespace {

constexpr std::array<CurvePoint<Celsius, Fraction>, 3> points{
    {{Celsius(0), Fraction(1)}, {Celsius(10), Fraction(2)}, {Celsius(20), Fraction(0)}}};
const Curve<Celsius, Fraction> curve(points);

TEST(Curve, HoldsTheEnds) {
    EXPECT_EQ(curve.at(Celsius(-5)), Fraction(1));
    EXPECT_EQ(curve.at(Celsius(25)), Fraction(0));
    EXPECT_FALSE(curve.covers(Celsius(25)));
    EXPECT_TRUE(curve.covers(Celsius(20)));
}

TEST(Curve, GoesThroughItsPointsAndStraightBetween) {
    EXPECT_EQ(curve.at(Celsius(10)), Fraction(2));
    EXPECT_EQ(curve.at(Celsius(5)), Fraction(1.5));
    EXPECT_EQ(curve.at(Celsius(15)), Fraction(1));
}

TEST(Curve, NoNumberInNoNumberOut) { EXPECT_FALSE(curve.at(Celsius::missing()).known()); }

}  // namespace
}  // namespace amphora
