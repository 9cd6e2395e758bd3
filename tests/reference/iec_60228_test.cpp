// IEC 60228:2004, tables 2 and 3: greatest resistance of copper conductors at 20 C, read in three secondary copies.
#include <gtest/gtest.h>

#include "core/design/conductor.hpp"

namespace amphora::design {
namespace {

TEST(Iec60228, FlexibleConductors) {
    EXPECT_EQ(metric_size(SquareMillimetre(1.5))->resistance_20, OhmPerKilometre(13.3));
    EXPECT_EQ(metric_size(SquareMillimetre(16))->resistance_20, OhmPerKilometre(1.21));
    EXPECT_EQ(metric_size(SquareMillimetre(70))->resistance_20, OhmPerKilometre(0.272));
    EXPECT_EQ(metric_size(SquareMillimetre(120))->resistance_20, OhmPerKilometre(0.161));
    EXPECT_FALSE(metric_size(SquareMillimetre(13.3)));
}

TEST(Iec60228, FiftySquareMillimetresIsTheOddOne) {
    for (const IecResistance& row : iec_60228()) {
        EXPECT_LT(row.stranded, row.stranded_tinned);
        EXPECT_LT(row.flexible, row.flexible_tinned);
        const bool odd = row.area == SquareMillimetre(50);
        EXPECT_EQ(row.flexible < row.stranded, odd) << row.area.value();
    }
}

/// The standard's table of factors uses 0.004 /K; ours is the coefficient of IEC 60287-1-1, so they differ by up to
/// 0.004.
TEST(Iec60228, TemperatureFactors) {
    struct Row {
        double celsius, factor;
    };
    for (const Row& r :
         {Row{5, 1.064}, Row{20, 1.0}, Row{40, 0.926}, Row{60, 0.862}, Row{75, 0.820}, Row{100, 0.758}}) {
        EXPECT_NEAR(1.0 / warmer(Celsius(r.celsius)), r.factor, 0.004);
    }
    EXPECT_NEAR(warmer(Celsius(75)), 1.21615, 1e-9);
}

}  // namespace
}  // namespace amphora::design
