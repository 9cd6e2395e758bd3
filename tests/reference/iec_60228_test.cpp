// IEC 60228:2004, tables 2 and 3: greatest resistance of copper conductors at 20 C, read in three secondary copies.
#include <gtest/gtest.h>

#include <array>

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

/// Every row as read, class 2 and class 5, plain and tinned.
TEST(Iec60228, AllOfTheTable) {
    struct Row {
        double area, stranded, stranded_tinned, flexible, flexible_tinned;
    };
    constexpr std::array<Row, 15> read{{{0.5, 36.0, 36.7, 39.0, 40.1},
                                        {0.75, 24.5, 24.8, 26.0, 26.7},
                                        {1, 18.1, 18.2, 19.5, 20.0},
                                        {1.5, 12.1, 12.2, 13.3, 13.7},
                                        {2.5, 7.41, 7.56, 7.98, 8.21},
                                        {4, 4.61, 4.70, 4.95, 5.09},
                                        {6, 3.08, 3.11, 3.30, 3.39},
                                        {10, 1.83, 1.84, 1.91, 1.95},
                                        {16, 1.15, 1.16, 1.21, 1.24},
                                        {25, 0.727, 0.734, 0.780, 0.795},
                                        {35, 0.524, 0.529, 0.554, 0.565},
                                        {50, 0.387, 0.391, 0.386, 0.393},
                                        {70, 0.268, 0.270, 0.272, 0.277},
                                        {95, 0.193, 0.195, 0.206, 0.210},
                                        {120, 0.153, 0.154, 0.161, 0.164}}};
    ASSERT_EQ(iec_60228().size(), read.size());
    for (std::size_t i = 0; i < read.size(); ++i) {
        const IecResistance& ours = iec_60228()[i];
        EXPECT_EQ(ours.area.value(), read.at(i).area);
        EXPECT_EQ(ours.stranded.value(), read.at(i).stranded) << read.at(i).area;
        EXPECT_EQ(ours.stranded_tinned.value(), read.at(i).stranded_tinned) << read.at(i).area;
        EXPECT_EQ(ours.flexible.value(), read.at(i).flexible) << read.at(i).area;
        EXPECT_EQ(ours.flexible_tinned.value(), read.at(i).flexible_tinned) << read.at(i).area;
    }
}

/// Independent of the table: resistivity of annealed copper (IEC 60028: 17.241 ohm mm2/km at 20 C) over the area. The
/// table's are greatest values, so the copper may be some per cent thinner and the strands are longer than the cable.
TEST(Iec60228, ResistivityOverArea) {
    for (const IecResistance& row : iec_60228()) {
        const double solid = 17.241 / row.area.value();
        EXPECT_GT(row.stranded.value() / solid, 1.03) << row.area.value();
        EXPECT_LT(row.stranded.value() / solid, 1.13) << row.area.value();
        EXPECT_GT(row.flexible.value() / solid, 1.09) << row.area.value();
        EXPECT_LT(row.flexible.value() / solid, 1.17) << row.area.value();
    }
}

}  // namespace
}  // namespace amphora::design
