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

/// Factors that a trade worksheet for sizing prints at 21.2, 15.6, 10 and 4.4 C, read. Its base is 26.7 C, and at -1.1
/// C it has 1.40 where this table has 1.43: these two rows stay from memory.
TEST(Ieee485, AgreesWithATradeWorksheetAboveFreezing) {
    struct Row {
        double celsius, printed;
    };
    for (const Row& r : {Row{21.2, 1.04}, Row{15.6, 1.11}, Row{10.0, 1.19}, Row{4.4, 1.30}}) {
        EXPECT_NEAR(factor(r.celsius), r.printed, 0.0015) << r.celsius;
    }
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
