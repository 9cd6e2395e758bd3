#include "io/text/figure.hpp"

#include <gtest/gtest.h>

namespace amphora::text {
namespace {

TEST(Figure, ABandKeepsOneDigitAndTheValueEndsAtTheSamePlace) {
    EXPECT_EQ(with_band(62.31, 4.0 / band90, "%"), "62 % ± 4");
    EXPECT_EQ(with_band(187.2, 6.2 / band90, "Ah"), "187 Ah ± 6");
    EXPECT_EQ(with_band(-0.0812, 0.02 / band90, "A"), "-0.08 A ± 0.02");
    EXPECT_EQ(with_band(99.61, 0.38 / band90, "%"), "99.6 % ± 0.4");
    EXPECT_EQ(with_band(431.0, 63.0 / band90, "Ah"), "431 Ah ± 63");
}

TEST(Figure, ABandThatStartsWithAOneKeepsTwoDigits) {
    EXPECT_EQ(with_band(-0.0834, 0.0146 / band90, "A"), "-0.083 A ± 0.015");
    EXPECT_EQ(with_band(77.81, 1.62 / band90, "Ah"), "77.8 Ah ± 1.6");
    EXPECT_EQ(with_band(77.81, 1.96 / band90, "Ah"), "78 Ah ± 2");
}

TEST(Figure, NoMinusZero) { EXPECT_EQ(with_band(-0.001, 0.3 / band90, "A"), "0.0 A ± 0.3"); }

TEST(Figure, AnUpperBoundIsRoundedUp) {
    EXPECT_EQ(at_most(0.0412, "A"), "at most 0.05 A");
    EXPECT_EQ(at_most(0.0132, "A"), "at most 0.014 A");
    EXPECT_EQ(at_most(0.05, "A"), "at most 0.05 A");
    EXPECT_EQ(at_most(3.2, "A"), "at most 4 A");
}

TEST(Figure, WithoutABand) {
    EXPECT_EQ(with_band(12.5, 0.0, "A"), "12.5 A");
    EXPECT_EQ(with_band(12.5, NAN, "A"), "12.5 A");
}

TEST(Figure, AShareOfWhichNextToNothingIsKnown) {
    EXPECT_EQ(figure({Fraction(0.62), Fraction(0.04 / band90)}), "62 % ± 4");
    EXPECT_EQ(figure({Fraction(0.53), Fraction(0.34)}), "0 to 100 %");
    EXPECT_EQ(figure({Fraction(0.40), Fraction(0.38 / band90)}), "2 to 78 %");
}

TEST(Figure, CountsInGroupsOfThree) {
    EXPECT_EQ(count(0), "0");
    EXPECT_EQ(count(999), "999");
    EXPECT_EQ(count(1000), "1 000");
    EXPECT_EQ(count(31'534'623), "31 534 623");
    EXPECT_EQ(count_of(1, "gap"), "1 gap");
    EXPECT_EQ(count_of(1234, "gap"), "1 234 gaps");
    EXPECT_EQ(count_of(0, "gap"), "0 gaps");
}

TEST(Figure, DurationsInTheUnitThatSuits) {
    EXPECT_EQ(duration(Second(45)), "45 s");
    EXPECT_EQ(duration(Second(90 * 60)), "90 min");
    EXPECT_EQ(duration(Second(5.25 * 3600)), "5.2 h");
    EXPECT_EQ(duration(Second(4.2 * 86'400)), "4.2 days");
    EXPECT_EQ(duration(Second(365 * 86'400)), "365 days");
}

}  // namespace
}  // namespace amphora::text
