#include "twin/van.hpp"

#include <gtest/gtest.h>

#include <vector>

#include "twin/draw.hpp"

namespace amphora::twin {
namespace {

VanSpec lossless_lfp(std::uint64_t seed) {
    VanSpec spec = draw_van({.seed = seed, .chemistry = Chemistry::lfp});
    spec.bank.efficiency = spec.bank.efficiency_full = 1;
    spec.bank.self_discharge = 0;
    return spec;
}

// Equal, or both missing.
template <class Q>
bool same(Q a, Q b) {
    return a == b || (!a.known() && !b.known());
}

TEST(Van, ChargeIsConserved) {
    for (std::uint64_t seed = 1; seed <= 5; ++seed) {
        Van van(lossless_lfp(seed));
        const double start = van.truth().state_of_charge.value();
        AmpHour counted{0};
        for (int k = 0; k < 5 * 17280; ++k) {
            van.step();
            counted += van.truth().current * van.spec().interval;
        }
        const double moved = (van.truth().state_of_charge.value() - start) * van.truth().capacity.value();
        EXPECT_NEAR(moved, counted.value(), 0.002 * van.truth().capacity.value()) << "seed " << seed;
        EXPECT_NEAR(van.truth().stored.value(), moved, 1e-6) << "seed " << seed;
    }
}

TEST(Van, LossesMakeTheMeterCountMoreThanIsStored) {
    const VanSpec spec = draw_van({.seed = 3, .chemistry = Chemistry::agm});
    Van van(spec);
    AmpHour counted{0};
    for (int k = 0; k < 20 * 17280; ++k) {
        van.step();
        counted += van.truth().current * spec.interval;
    }
    EXPECT_GT(counted, van.truth().stored + 0.01 * spec.bank.capacity);
}

TEST(Van, SameSeedSameVan) {
    for (const auto chemistry : {Chemistry::lfp, Chemistry::agm}) {
        Van one(draw_van({.seed = 42, .chemistry = chemistry})), two(draw_van({.seed = 42, .chemistry = chemistry}));
        for (int k = 0; k < 17280; ++k) {
            const auto a = one.step(), b = two.step();
            ASSERT_EQ(a.size(), b.size());
            for (std::size_t n = 0; n < a.size(); ++n) {
                ASSERT_EQ(a[n].at, b[n].at);
                ASSERT_TRUE(same(a[n].current, b[n].current));
                ASSERT_TRUE(same(a[n].voltage, b[n].voltage));
            }
            ASSERT_EQ(one.truth().state_of_charge, two.truth().state_of_charge);
        }
    }
}

TEST(Van, OtherSeedOtherVan) {
    Van one(draw_van({.seed = 1})), two(draw_van({.seed = 2}));
    for (int k = 0; k < 1000; ++k) one.step(), two.step();
    EXPECT_NE(one.truth().voltage, two.truth().voltage);
}

TEST(Van, MeterShowsTheTruthWithinItsErrors) {
    VanSpec spec = draw_van({.seed = 7});
    spec.shunt = {.offset = Ampere(0.1),
                  .gain = 0.01,
                  .noise = Ampere(0),
                  .step = Ampere(0),
                  .voltage_noise = Volt(0),
                  .voltage_step = Volt(0)};
    Van van(spec);
    for (int k = 0; k < 1000; ++k) {
        const auto lines = van.step();
        ASSERT_EQ(lines.size(), 1U);
        EXPECT_NEAR(lines[0].current.value(), van.truth().current.value() * 1.01 + 0.1, 1e-9);
        EXPECT_NEAR(lines[0].voltage.value(), van.truth().voltage.value(), 1e-9);
    }
}

}  // namespace
}  // namespace amphora::twin
