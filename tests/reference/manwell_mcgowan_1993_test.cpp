// Two-well kinetic battery: J. F. Manwell and J. G. McGowan, Solar Energy 50 (1993) 399-405. The step formula was
// checked against an independent transcription of M. Jongerden and B. Haverkort's form; figures recomputed from the
// formulas (a Runge-Kutta integration agrees to 1e-12).
#include <gtest/gtest.h>

#include <cmath>

#include "core/battery/kinetic_battery.hpp"

namespace amphora {
namespace {

const KineticBattery battery({AmpHour(100), Fraction(0.5), PerHour(1)});

TEST(KineticBattery, ConstantCurrentSteps) {
    const Wells full = battery.levelled(Fraction(1));
    EXPECT_DOUBLE_EQ(full.available.value(), 50);
    const Wells drained = battery.after(full, Ampere(-20), Hour(1));
    EXPECT_NEAR(drained.available.value(), 33.67879441171443, 1e-12);
    EXPECT_NEAR(drained.bound.value(), 46.32120558828558, 1e-12);
    const Wells charged = battery.after(drained, Ampere(10), Hour(2));
    EXPECT_NEAR(charged.available.value(), 53.46784143512945, 1e-12);
    EXPECT_NEAR(charged.bound.value(), 46.53215856487055, 1e-12);
    const Wells rested = battery.after(drained, Ampere(0), Hour(5));
    EXPECT_NEAR(rested.available.value(), 39.957408051775815, 1e-12);
    EXPECT_NEAR(rested.bound.value(), 40.04259194822419, 1e-12);
}

TEST(KineticBattery, CapacityOverHours) {
    EXPECT_NEAR(battery.capacity_over(Hour(20)).value(), 95.238095, 1e-6);
    EXPECT_NEAR(battery.capacity_over(Hour(10)).value(), 90.909467, 1e-6);
    EXPECT_NEAR(battery.capacity_over(Hour(5)).value(), 83.427021, 1e-6);
    EXPECT_NEAR(battery.capacity_over(Hour(3)).value(), 75.945273, 1e-6);
    EXPECT_NEAR(battery.capacity_over(Hour(1)).value(), 61.269984, 1e-6);
}

TEST(KineticBattery, RunTimeFromFull) {
    const Wells full = battery.levelled(Fraction(1));
    EXPECT_NEAR(battery.time_to_empty(full, Ampere(5)).value(), 19.000000, 1e-6);
    EXPECT_NEAR(battery.time_to_empty(full, Ampere(10)).value(), 9.000123, 1e-6);
    EXPECT_NEAR(battery.time_to_empty(full, Ampere(20)).value(), 4.017989, 1e-6);
    EXPECT_NEAR(battery.time_to_empty(full, Ampere(50)).value(), 1.278465, 1e-6);
    EXPECT_NEAR(battery.time_to_empty(full, Ampere(100)).value(), 0.567143, 1e-6);
}

// The same k written as a valve's conductance, k = valve / (c (1 - c)). Constants of a small lithium cell in Jongerden
// and Haverkort, as read in public code (unit from memory): c = 0.625, k = 4.5e-5 per second.
TEST(KineticBattery, BothConventionsOfTheRate) {
    const PerHour rate = KineticParameters::rate_from_valve(PerHour(4.5e-5 * 3600), Fraction(0.625));
    EXPECT_NEAR(rate.value(), 0.6912, 1e-12);
}

struct Fit {
    double exponent, share, rate, capacity, residual;
};

class FitToPeukert : public testing::TestWithParam<Fit> {};

TEST_P(FitToPeukert, GivesThePublishedShape) {
    const Fit f = GetParam();
    const auto fit = fit_kinetic_battery({Hour(20), AmpHour(100)}, PeukertExponent(f.exponent));
    ASSERT_TRUE(fit);
    EXPECT_NEAR(fit->parameters.available_share.value(), f.share, 6e-4);
    EXPECT_NEAR(fit->parameters.rate.value(), f.rate, 6e-4);
    EXPECT_NEAR(fit->parameters.capacity.value(), f.capacity, 0.06);
    EXPECT_NEAR(fit->largest_residual.value(), f.residual, 0.06);
}

INSTANTIATE_TEST_SUITE_P(HundredAmpHours, FitToPeukert,
                         testing::Values(Fit{1.1, 0.688, 0.419, 104.9, 0.9}, Fit{1.2, 0.504, 0.457, 109.9, 1.5},
                                         Fit{1.3, 0.386, 0.491, 115.1, 1.9}));

// D. Doerffel and S. A. Sharkh, J. Power Sources 155 (2006) 395 (from memory): Peukert's rule is about one constant
// current; charge left behind at a high rate comes out later at a low one. 100 Ah, k = 1.2: 50 A for half an hour, then
// 5 A to the end. Applying the rule to each moment loses 14 Ah that are there.
TEST(KineticBattery, ChargeLeftAtAHighRateComesOutLater) {
    const HourRating rating{Hour(20), AmpHour(100)};
    const PeukertExponent exponent(1.2);
    const double used = Hour(0.5) / peukert_time(rating, exponent, Ampere(50));
    EXPECT_NEAR(used, 0.396223, 1e-6);
    EXPECT_NEAR(25 + (1 - used) * peukert_charge(rating, exponent, Ampere(5)).value(), 85.38, 0.005);

    const auto fit = fit_kinetic_battery(rating, exponent);
    ASSERT_TRUE(fit);
    const KineticBattery fitted(fit->parameters);
    const Wells after_burst = fitted.after(fitted.levelled(Fraction(1)), Ampere(-50), Hour(0.5));
    EXPECT_NEAR(25 + fitted.deliverable(after_burst, Ampere(5)).value(), 99.14, 0.005);
}

}  // namespace
}  // namespace amphora
