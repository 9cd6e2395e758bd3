#include "core/quantity/shown.hpp"

#include <gtest/gtest.h>

#include <limits>

namespace amphora {
namespace {

TEST(Shown, IsTheDecimalThatAScaleMissed) {
    for (int step = -20000; step <= 20000; ++step) {
        EXPECT_EQ(shown(step * 0.001), step / 1000.0);
        EXPECT_EQ(shown(step * 0.005), step * 5 / 1000.0);
        EXPECT_EQ(shown(step * 0.00125), step * 125 / 100000.0);
    }
}

TEST(Shown, LeavesWhatIsNone) {
    for (const double value : {1.0 / 3.0, 13.0400000000001, 2e300, -1e-12, 0.0}) EXPECT_EQ(shown(value), value);
    EXPECT_TRUE(std::isnan(shown(std::numeric_limits<double>::quiet_NaN())));
    EXPECT_EQ(shown(std::numeric_limits<double>::infinity()), std::numeric_limits<double>::infinity());
}

}  // namespace
}  // namespace amphora
