// The vans drawn must differ as widely as vans do, and none may leave what is physically plausible.
#include <gtest/gtest.h>

#include <algorithm>
#include <vector>

#include "twin/draw.hpp"

namespace amphora::twin {
namespace {

struct Life {
    double lowest = 1, highest = 0, lowest_volt = 99, highest_volt = 0;
    double fulls_per_day = 0;
};

Life live(const VanSpec& spec, int days) {
    Van van(spec);
    Life life;
    const auto steps = static_cast<int>(86400 / spec.interval.value());
    for (int day = 0; day < days; ++day) {
        bool full = false;
        for (int k = 0; k < steps; ++k) {
            van.step();
            const auto& t = van.truth();
            life.lowest = std::min(life.lowest, t.state_of_charge.value());
            life.highest = std::max(life.highest, t.state_of_charge.value());
            life.lowest_volt = std::min(life.lowest_volt, t.voltage.value());
            life.highest_volt = std::max(life.highest_volt, t.voltage.value());
            full = full || t.state_of_charge.value() > 0.985;
        }
        life.fulls_per_day += full ? 1.0 / days : 0;
    }
    return life;
}

class Variety : public testing::TestWithParam<Chemistry> {};

TEST_P(Variety, PlausibleAndWide) {
    std::vector<double> fulls;
    for (std::uint64_t seed = 1; seed <= 24; ++seed) {
        const auto life = live(draw_van({.seed = seed, .chemistry = GetParam(), .interval = Second(10)}), 15);
        EXPECT_GE(life.lowest, 0) << "seed " << seed;
        EXPECT_LE(life.highest, 1) << "seed " << seed;
        EXPECT_GT(life.lowest_volt, 8.0) << "seed " << seed;
        EXPECT_LT(life.highest_volt, 16.5) << "seed " << seed;
        fulls.push_back(life.fulls_per_day);
    }
    EXPECT_GE(std::count_if(fulls.begin(), fulls.end(), [](double f) { return f > 0.65; }), 2)
        << "some are full nearly daily";
    EXPECT_GE(std::count_if(fulls.begin(), fulls.end(), [](double f) { return f < 0.1; }), 2) << "some hardly ever";
}

INSTANTIATE_TEST_SUITE_P(Chemistries, Variety,
                         testing::Values(Chemistry::lfp, Chemistry::agm, Chemistry::gel, Chemistry::flooded));

TEST(Draw, CapacityIsTwoToFourteenPercentOffTheLabel) {
    int below = 0;
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        const auto van = draw_van({.seed = seed});
        const double off = van.bank.capacity / van.system.battery.design_capacity - 1;
        EXPECT_GT(std::abs(off), 0.013);
        EXPECT_LT(std::abs(off), 0.141);
        below += off < 0;
    }
    EXPECT_GT(below, 120);
    EXPECT_LT(below, 180);
}

TEST(Draw, EveryCurveRises) {
    for (std::uint64_t seed = 1; seed <= 200; ++seed) {
        Random random(seed);
        for (const auto& curve : {draw_lfp_curve(random), draw_lead_curve(random)})
            for (int k = 1; k <= 1000; ++k)
                ASSERT_GT(curve.at(Fraction(k / 1000.0)), curve.at(Fraction((k - 1) / 1000.0)))
                    << "seed " << seed << " at " << k;
    }
}

TEST(Draw, RefusesCellsItHasNot) { EXPECT_THROW((void)draw_van({.chemistry = Chemistry::nmc}), std::invalid_argument); }

}  // namespace
}  // namespace amphora::twin
