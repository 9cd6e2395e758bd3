#include "core/estimate/hindsight_path.hpp"

#include <gtest/gtest.h>

#include <vector>

namespace amphora {
namespace {

Estimate said(std::int64_t second) {
    Estimate e;
    e.at = Instant{second * 1'000'000};
    e.state_of_charge = {Fraction(0.9), Fraction(0.3)};
    return e;
}

Hindsight step(std::int64_t second, double mean, double sd) {
    return {Instant{second * 1'000'000}, {Fraction(mean), Fraction(sd)}};
}

TEST(HindsightPath, StraightBetweenStepsAndLevelBeyond) {
    const std::vector steps{step(60, 0.5, 0.02), step(120, 0.6, 0.04), step(180, 0.4, 0.04)};
    HindsightPath path(steps);
    EXPECT_DOUBLE_EQ(path.at(said(0)).mean.value(), 0.5);
    EXPECT_DOUBLE_EQ(path.at(said(60)).mean.value(), 0.5);
    EXPECT_DOUBLE_EQ(path.at(said(75)).mean.value(), 0.525);
    EXPECT_DOUBLE_EQ(path.at(said(75)).sd.value(), 0.025);
    EXPECT_DOUBLE_EQ(path.at(said(150)).mean.value(), 0.5);
    EXPECT_DOUBLE_EQ(path.at(said(180)).mean.value(), 0.4);
    EXPECT_DOUBLE_EQ(path.at(said(200)).mean.value(), 0.4);
}

TEST(HindsightPath, StepsMayBePassedOver) {
    const std::vector steps{step(60, 0.5, 0.02), step(120, 0.6, 0.02), step(180, 0.4, 0.02), step(240, 0.2, 0.02)};
    HindsightPath path(steps);
    EXPECT_DOUBLE_EQ(path.at(said(210)).mean.value(), 0.3);
}

TEST(HindsightPath, WithoutStepsNothingMoreIsKnown) {
    HindsightPath path({});
    EXPECT_EQ(path.at(said(10)).mean.value(), 0.9);
    EXPECT_EQ(path.at(said(10)).sd.value(), 0.3);
}

}  // namespace
}  // namespace amphora
