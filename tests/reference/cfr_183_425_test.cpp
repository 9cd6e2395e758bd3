// 33 CFR 183.425, table 5 and its notes: allowable amperage of conductors in boats (United States federal law). The
// factor 0.85 for 105 C in engine spaces and the bundled values were read in two boat-cable tables (UL 1426).
#include <gtest/gtest.h>

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

}  // namespace
}  // namespace amphora::design
