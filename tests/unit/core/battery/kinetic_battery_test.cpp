#include "core/battery/kinetic_battery.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>

namespace amphora {
namespace {

const KineticBattery battery({AmpHour(110), Fraction(0.4), PerHour(0.6)});

TEST(KineticBatteryEdges, ChargeIsConserved) {
    Wells w = battery.levelled(Fraction(0.7));
    double expected = w.total().value();
    for (const double current : {-40.0, 12.0, 0.0, -3.0, 25.0}) {
        w = battery.after(w, Ampere(current), Hour(0.3));
        expected += current * 0.3;
        EXPECT_NEAR(w.total().value(), expected, 1e-12);
    }
}

TEST(KineticBatteryEdges, OneLongStepEqualsManyShortOnes) {
    const Wells start = battery.levelled(Fraction(0.9));
    Wells many = start;
    constexpr int steps = 3600 * 5;
    for (int i = 0; i < steps; ++i) many = battery.after(many, Ampere(-7), Hour(1.0 / 3600));
    const Wells once = battery.after(start, Ampere(-7), Hour(5));
    EXPECT_NEAR(many.available.value(), once.available.value(), 1e-9);
    EXPECT_NEAR(many.bound.value(), once.bound.value(), 1e-9);
}

TEST(KineticBatteryEdges, LargestCurrentsEmptyAndFillTheAvailableWellExactly) {
    const Wells now = battery.after(battery.levelled(Fraction(0.6)), Ampere(-30), Hour(0.5));
    for (const double hours : {1e-4, 0.1, 1.0, 10.0}) {
        const Ampere out = battery.largest_discharge(now, Hour(hours));
        const Ampere in = battery.largest_charge(now, Hour(hours));
        EXPECT_GT(out, Ampere(0));
        EXPECT_GT(in, Ampere(0));
        EXPECT_NEAR(battery.after(now, -out, Hour(hours)).available.value(), 0, 1e-9);
        EXPECT_NEAR(battery.after(now, in, Hour(hours)).available.value(), 0.4 * 110, 1e-9);
    }
}

TEST(KineticBatteryEdges, TimeToEmptyEndsWithTheAvailableWellEmpty) {
    const Wells full = battery.levelled(Fraction(1));
    const Wells just_drained = battery.after(full, Ampere(-80), Hour(0.5));  // the bound well stands higher
    for (const Wells& start : {full, just_drained})
        for (const double amperes : {0.01, 1.0, 5.0, 50.0, 500.0}) {
            const Hour t = battery.time_to_empty(start, Ampere(amperes));
            EXPECT_NEAR(battery.after(start, Ampere(-amperes), t).available.value(), 0, 1e-9) << amperes << " A";
        }
}

TEST(KineticBatteryEdges, NothingDrawnLastsForEverAndAnEmptyWellNotAtAll) {
    EXPECT_EQ(battery.time_to_empty(battery.levelled(Fraction(0.5)), Ampere(0)).value(),
              std::numeric_limits<double>::infinity());
    EXPECT_EQ(battery.deliverable(battery.levelled(Fraction(0.5)), Ampere(0)), AmpHour(55));
    EXPECT_EQ(battery.time_to_empty({AmpHour(0), AmpHour(0)}, Ampere(5)), Hour(0));
}

TEST(KineticBatteryEdges, RestGivesChargeBackToTheAvailableWell) {
    Wells w = battery.levelled(Fraction(1));
    w = battery.after(w, Ampere(-60), battery.time_to_empty(w, Ampere(60)));
    EXPECT_NEAR(battery.deliverable(w, Ampere(60)).value(), 0, 1e-9);
    w = battery.after(w, Ampere(0), Hour(8));
    EXPECT_GT(battery.deliverable(w, Ampere(60)).value(), 20);
}

// Empty at 60 A is not empty at 5 A: the bound well refills the other faster than 5 A drain it, rest or no rest.
TEST(KineticBatteryEdges, EmptyForALargeCurrentIsNotEmptyForASmallOne) {
    const Wells drained{AmpHour(0), AmpHour(50)};
    EXPECT_EQ(battery.time_to_empty(drained, Ampere(60)), Hour(0));
    const Hour t = battery.time_to_empty(drained, Ampere(5));
    EXPECT_GT(t, Hour(5));
    EXPECT_NEAR(battery.after(drained, Ampere(-5), t).available.value(), 0, 1e-9);
}

TEST(KineticBatteryFit, RecoversTheBatteryThatMadeTheRatings) {
    std::array<HourRating, 4> rows{};
    constexpr std::array hours{20.0, 10.0, 5.0, 1.0};
    for (std::size_t i = 0; i < rows.size(); ++i) rows[i] = {Hour(hours[i]), battery.capacity_over(Hour(hours[i]))};
    const auto fit = fit_kinetic_battery(rows);
    ASSERT_TRUE(fit);
    EXPECT_NEAR(fit->parameters.available_share.value(), 0.4, 1e-5);
    EXPECT_NEAR(fit->parameters.rate.value(), 0.6, 1e-5);
    EXPECT_NEAR(fit->parameters.capacity.value(), 110, 1e-3);
    EXPECT_LT(fit->largest_residual.value(), 1e-4);
}

TEST(KineticBatteryFit, SaysWhatItCannotFit) {
    constexpr std::array two{HourRating{Hour(20), AmpHour(100)}, HourRating{Hour(5), AmpHour(80)},
                             HourRating{Hour(5), AmpHour(81)}};
    EXPECT_EQ(fit_kinetic_battery(two).error(), KineticFitError::too_few_ratings);
    constexpr std::array negative{HourRating{Hour(20), AmpHour(100)}, HourRating{Hour(5), AmpHour(-80)},
                                  HourRating{Hour(1), AmpHour(50)}};
    EXPECT_EQ(fit_kinetic_battery(negative).error(), KineticFitError::not_positive);
}

}  // namespace
}  // namespace amphora
