#include "core/design/energy.hpp"

#include <gtest/gtest.h>

#include "core/design/solar.hpp"
#include "support/systems.hpp"

namespace amphora::design {
namespace {

TEST(Energy, SumsAddUp) {
    const Plan plan = clean_van();
    const Budget b = budget_of(plan);
    for (std::size_t m = 0; m < 12; ++m) {
        WattHour used{};
        WattHour given{};
        for (const auto& l : b.uses) used += l.per_day.at(m);
        for (const auto& l : b.losses) used += l.per_day.at(m);
        for (const auto& l : b.gives) given += l.per_day.at(m);
        EXPECT_NEAR(used.value(), b.used.at(m).value(), 1e-6);
        EXPECT_NEAR(given.value(), b.given.at(m).value(), 1e-6);
    }
}

/// Published ranges, read in a unit-conversion handbook: lead-acid 0.70 to 0.84, lithium 0.85 to 0.95.
TEST(Energy, ChargeEfficiencyIsInThePublishedRange) {
    for (const Chemistry c : {Chemistry::flooded, Chemistry::agm, Chemistry::gel}) {
        EXPECT_GE(charge_efficiency(c), Fraction(0.70));
        EXPECT_LE(charge_efficiency(c), Fraction(0.84));
    }
    for (const Chemistry c : {Chemistry::lfp, Chemistry::nmc, Chemistry::nca, Chemistry::lto}) {
        EXPECT_GE(charge_efficiency(c), Fraction(0.85));
        EXPECT_LE(charge_efficiency(c), Fraction(0.95));
    }
}

TEST(Energy, EfficiencyFollowsTheCurve) {
    Plan plan = clean_van();
    plan.inverters[0].curve_load = {Fraction(0.1), Fraction(0.5), Fraction(1.0)};
    plan.inverters[0].curve_efficiency = {Fraction(0.80), Fraction(0.92), Fraction(0.88)};
    EXPECT_NEAR(conversion_factor(plan, behind_inverter(appliance("a", 600))), 1.0 / 0.86, 1e-9);
    EXPECT_NEAR(conversion_factor(plan, behind_inverter(appliance("a", 20))), 1.0 / 0.80, 1e-9);
    EXPECT_EQ(conversion_factor(plan, appliance("a", 600)), 1.0);
}

/// A flat panel sees what the ground sees: a mean day's irradiation comes back, but for low sun and glass (some per
/// cent).
TEST(Energy, FlatPanelSeesTheGlobalIrradiation) {
    const sun::Climate climate = sun::climate_of(*sun::known_place("piedmont"));
    for (const int month : {2, 5, 8}) {
        const sun::Month& m = climate.months.at(static_cast<std::size_t>(month));
        const PanelDay day = panel_day(Panels{}, sun::middle_of_month(month), m.latitude);
        double sum = 0.0;
        for (int h = 0; h < 24; ++h) sum += on_panels(day, h, sun::clearness(m, month)).value();
        EXPECT_NEAR(sum / 1000.0 / m.global_per_day.value(), 0.97, 0.04) << month;
    }
}

TEST(Energy, SteepSouthPanelsGainInWinterAndLoseInSummer) {
    Plan plan = clean_cabin();
    Charger& solar = plan.chargers[0];
    solar.current = Ampere(1000);
    solar.panels.tilt = Degree(60);
    const double steep_winter = solar_day(plan, solar, 11).value();
    const double steep_summer = solar_day(plan, solar, 5).value();
    solar.panels.tilt = Degree(0);
    EXPECT_GT(steep_winter, 1.2 * solar_day(plan, solar, 11).value());
    EXPECT_LT(steep_summer, solar_day(plan, solar, 5).value());
    solar.panels.tilt = Degree(60);
    solar.panels.horizon = Degree(25);
    EXPECT_LT(solar_day(plan, solar, 11).value(), 0.6 * steep_winter);
}

TEST(Energy, ControllerLimitsItsCurrent) {
    Plan plan = clean_van();
    plan.chargers[0].current = Ampere(5);
    const Watt most = panel_power(plan, plan.chargers[0], WattPerSquareMetre(1000), Celsius(10));
    EXPECT_NEAR(most.value(), 5.0 * 13.6, 1.0);
}

}  // namespace
}  // namespace amphora::design
