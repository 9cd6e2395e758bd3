// IEEE Std 485, Table 1, temperature correction of cell size (values from memory; read in summaries: that the table
// spans -3.9 to 51.7 C, has base 25 C and is interpolated).
#include <gtest/gtest.h>

#include "core/battery/capacity_temperature.hpp"

namespace amphora {
namespace {

double factor(double celsius) { return cell_size_factor(Celsius(celsius)).value_or(Fraction::missing()).value(); }

TEST(Ieee485, RowsOfTheTable) {
    EXPECT_DOUBLE_EQ(factor(-3.9), 1.520);
    EXPECT_DOUBLE_EQ(factor(4.4), 1.300);
    EXPECT_DOUBLE_EQ(factor(10.0), 1.190);
    EXPECT_DOUBLE_EQ(factor(20.0), 1.056);
    EXPECT_DOUBLE_EQ(factor(25.0), 1.000);
    EXPECT_DOUBLE_EQ(factor(37.8), 0.910);
    EXPECT_DOUBLE_EQ(factor(51.7), 0.850);
}

TEST(Ieee485, BetweenRowsInterpolated) {
    EXPECT_NEAR(factor(22.0), 1.040 - 0.040 * (22.0 - 21.1) / (25.0 - 21.1), 1e-12);
    EXPECT_NEAR(factor(0.3), (1.430 + 1.350) / 2, 1e-12);
}

TEST(Ieee485, NoFigureOutsideTheTable) {
    EXPECT_FALSE(cell_size_factor(Celsius(-4)));
    EXPECT_FALSE(cell_size_factor(Celsius(52)));
    EXPECT_FALSE(cell_size_factor(Celsius::missing()));
    EXPECT_FALSE(lead_acid_capacity_at(Celsius(-20), AmpHour(100)));
}

TEST(Ieee485, ColdBatteryGivesCapacityOverFactor) {
    EXPECT_NEAR(lead_acid_capacity_at(Celsius(4.4), AmpHour(130))->value(), 100, 1e-12);
}

}  // namespace
}  // namespace amphora
