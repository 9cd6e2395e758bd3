// 33 CFR 183.425, table 5 and its notes: allowable amperage of conductors in boats (United States federal law). The
// factor 0.85 for 105 C in engine spaces and the bundled values were read in two boat-cable tables (UL 1426).
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "core/design/ampacity.hpp"

namespace amphora::design {
namespace {

Ampacity of(const char* gauge, Laying laying) { return ampacity(*gauge_size(gauge), laying); }

TEST(Cfr183425, Table5) {
    EXPECT_EQ(of("18", {.insulation = Celsius(105)}).corrected(), Ampere(20));
    EXPECT_EQ(of("10", {.insulation = Celsius(105)}).corrected(), Ampere(60));
    EXPECT_EQ(of("10", {.insulation = Celsius(60)}).corrected(), Ampere(40));
    EXPECT_EQ(of("2/0", {.insulation = Celsius(105)}).corrected(), Ampere(330));
    EXPECT_EQ(of("4/0", {.insulation = Celsius(75)}).corrected(), Ampere(360));
    EXPECT_EQ(of("4/0", {.insulation = Celsius(200)}).corrected(), Ampere(510));
}

TEST(Cfr183425, BetweenTwoColumnsTheLowerCounts) {
    EXPECT_EQ(of("8", {.insulation = Celsius(85)}).corrected(), Ampere(70));
    EXPECT_EQ(of("8", {.insulation = Celsius(50)}).corrected(), Ampere(0));
}

TEST(Cfr183425, InsideAnEngineSpace) {
    struct Row {
        const char* gauge;
        double inside;
    };
    for (const Row& r : {Row{"16", 21.3}, Row{"12", 38.3}, Row{"6", 102}, Row{"1/0", 242.3}, Row{"4/0", 378.3}}) {
        EXPECT_NEAR(of(r.gauge, {.insulation = Celsius(105), .engine_space = true}).corrected().value(), r.inside,
                    0.06);
    }
}

TEST(Cfr183425, BundledInsideAnEngineSpace) {
    const auto ten = [](int together) {
        return of("10", {.insulation = Celsius(105), .engine_space = true, .bundled = together}).corrected().value();
    };
    EXPECT_NEAR(ten(3), 35.7, 0.1);
    EXPECT_NEAR(ten(5), 30.6, 0.1);
    EXPECT_NEAR(ten(12), 25.5, 0.1);
    EXPECT_NEAR(of("2", {.insulation = Celsius(105), .bundled = 3}).corrected().value(), 147, 0.1);
    EXPECT_NEAR(of("2", {.insulation = Celsius(105), .bundled = 10}).corrected().value(), 105, 0.1);
}

/// sqrt((Tmax - T) / (Tmax - 30)); the notes and IEC tables round it. 0.71 at 50 C for 70 C: IEC 60364-5-52 B.52.14.
TEST(Cfr183425, HotSurroundings) {
    EXPECT_NEAR(ambient_factor(Celsius(70), Celsius(50), false), 0.71, 0.005);
    EXPECT_NEAR(ambient_factor(Celsius(70), Celsius(40), false), 0.87, 0.005);
    EXPECT_NEAR(ambient_factor(Celsius(90), Celsius(50), false), 0.82, 0.005);
    EXPECT_EQ(ambient_factor(Celsius(70), Celsius(75), false), 0.0);
    EXPECT_EQ(ambient_factor(Celsius(70), Celsius(10), false), 1.0);
}

/// Factors for 50 C of the notes against two sources read in public copies, Canadian Electrical Code table 5A (which is
/// NEC 310.15(B)(1)) and DIN VDE 0298-4, and against the square-root law; 0.78 for 80 C by the law alone. 1.00 for
/// 200 C is neither: the law gives 0.94, so this one stays from memory.
TEST(Cfr183425, EngineSpaceFactorsAgreeWithOtherCodes) {
    struct Row {
        double insulation, printed;
    };
    for (const Row& r : {Row{60, 0.58}, Row{75, 0.75}, Row{80, 0.78}, Row{90, 0.82}, Row{105, 0.86}, Row{125, 0.89}}) {
        const double ours = ambient_factor(Celsius(r.insulation), Celsius(30), true);
        EXPECT_NEAR(ours, r.printed, 0.0101) << r.insulation;
        EXPECT_NEAR(ours, std::sqrt((r.insulation - 50.0) / (r.insulation - 30.0)), 0.008) << r.insulation;
    }
}

/// The same law outside an engine space, against every printed factor: Canadian Electrical Code table 5A at 35 to 65 C,
/// and BS 7671 table 4C1 (IEC 60364-5-52 table B.52.14) for 70 C; each as read in a public copy.
TEST(Cfr183425, LawOfHeatAgainstPrintedFactors) {
    struct Row {
        double insulation;
        std::vector<double> from_35;  // in steps of 5 K
    };
    for (const Row& r : {Row{60, {.91, .82, .71, .58, .41}}, Row{75, {.94, .88, .82, .75, .67, .58, .47}},
                         Row{90, {.96, .91, .87, .82, .76, .71, .65}}, Row{105, {.97, .93, .89, .86, .82, .77, .73}},
                         Row{125, {.97, .95, .92, .89, .86, .83, .79}}, Row{70, {.94, .87, .79, .71, .61}}}) {
        double ambient = 35.0;
        for (const double printed : r.from_35) {
            EXPECT_NEAR(ambient_factor(Celsius(r.insulation), Celsius(ambient), false), printed, 0.0105)
                << r.insulation << " at " << ambient;
            ambient += 5.0;
        }
    }
}

/// The metric table is from memory (ISO 10133 table A.2). Independent of it: the law of the same cable in the same air,
/// as the federal table has it by gauge. Between neighbouring gauges the current goes with a power of the area.
TEST(Cfr183425, MetricTableFromMemoryIsOfItsKind) {
    const auto american = sizes(SizeSeries::american);
    for (const ConductorSize& metric : sizes(SizeSeries::metric)) {
        const auto above = std::ranges::lower_bound(american, metric.area, {}, &ConductorSize::area);
        if (above == american.begin() || above == american.end()) continue;
        struct Column {
            double insulation, within;  // ISO has 70, the federal table 75
        };
        for (const auto [insulation, within] : {Column{75, 0.20}, Column{105, 0.12}, Column{125, 0.14}}) {
            const Laying laying{.insulation = Celsius(insulation)};
            const double low = ampacity(*(above - 1), laying).corrected().value();
            const double high = ampacity(*above, laying).corrected().value();
            const double way = std::log(metric.area / (above - 1)->area) / std::log(above->area / (above - 1)->area);
            const double between = low * std::pow(high / low, way);
            const double ours = ampacity(metric, laying).corrected().value();
            EXPECT_NEAR(ours / between, 1.0, within) << metric.label << " at " << insulation;
        }
    }
}

}  // namespace
}  // namespace amphora::design
