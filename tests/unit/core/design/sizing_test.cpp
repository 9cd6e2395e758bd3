#include "core/design/sizing.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "core/design/energy.hpp"
#include "core/design/load.hpp"
#include "core/design/rules.hpp"
#include "support/systems.hpp"

namespace amphora::design {
namespace {

/// What a person has before there is anything: appliances, a place, wishes.
Plan wishes_only() {
    Plan p;
    p.bank.battery.chemistry = Chemistry::lfp;
    p.bank.battery.cells_in_series = 4;
    p.bank.management_system = true;
    p.climate = sun::climate_of(*sun::known_place("lyon"));
    p.wishes.days_without_sun = 2.0;
    p.wishes.months = {false, false, false, true, true, true, true, true, true, false, false, false};
    p.appliances = {appliance("refrigerator", 45), appliance("lights", 20, "", 18, 23), appliance("pump", 60, "", 7, 8),
                    behind_inverter(appliance("kettle", 1000, "", 7, 7.2))};
    p.appliances[0].duty = Fraction(0.35);
    return p;
}

double panels(const Plan& p) {
    const auto solar = std::ranges::find(p.chargers, ChargerKind::solar, &Charger::kind);
    return solar == p.chargers.end() ? 0.0 : solar->panels.peak.value();
}

TEST(Sizing, ProposalsAreWholeAndSound) {
    for (const Proposal& p : propose(wishes_only())) {
        for (const Finding& f : check(p.plan))
            EXPECT_EQ(f.severity, Severity::note) << p.name << ": " << f.rule << ": " << f.sentence;
        for (const Circuit& c : p.plan.circuits) EXPECT_TRUE(c.run && c.protection) << c.name;
        EXPECT_FALSE(p.gives_up.empty());
    }
}

TEST(Sizing, ALongWinterAsksForABankThatTakesItsPanels) {
    Plan p = wishes_only();
    p.bank.battery.chemistry = Chemistry::agm;
    p.bank.battery.cells_in_series = 6;
    p.bank.battery.reserve = Fraction(0.5);
    p.climate = sun::climate_of(*sun::known_place("munich"));
    p.wishes.months = whole_year;
    for (const Proposal& proposed : propose(p)) EXPECT_FALSE(finds(check(proposed.plan), "bank.charge"));
}

TEST(Sizing, AsWishedIsSeldomDry) {
    Plan p = wishes_only();
    p.wishes.months = whole_year;
    EXPECT_LE(propose(p).front().outcome.any_dry, 0.15);
}

TEST(Sizing, WithoutSunSomethingIsPluggedIn) {
    Plan p = wishes_only();
    p.climate = {};
    const Proposal proposed = propose(p).front();
    ASSERT_EQ(proposed.plan.chargers.size(), 1U);
    EXPECT_EQ(proposed.plan.chargers[0].kind, ChargerKind::shore);
    EXPECT_GT(proposed.plan.chargers[0].current, Ampere(0));
}

TEST(Sizing, AsWishedKeepsTheWish) {
    const Proposal p = propose(wishes_only()).front();
    EXPECT_GE(usable(p.plan) / daily_use(p.plan, 5), 2.0);
    EXPECT_EQ(p.plan.inverters.size(), 1U);
    EXPECT_GE(p.plan.inverters[0].power, Watt(1000));
    for (int m = 3; m < 9; ++m) EXPECT_GE(budget_of(p.plan).balance(m).value(), -1.0) << m;
}

TEST(Sizing, LeanerIsSmallerAndSturdierLarger) {
    const auto all = propose(wishes_only());
    ASSERT_EQ(all.size(), 3U);
    EXPECT_LT(all[1].plan.bank.battery.design_capacity, all[0].plan.bank.battery.design_capacity);
    EXPECT_GT(all[2].plan.bank.battery.design_capacity, all[0].plan.bank.battery.design_capacity);
    EXPECT_LT(panels(all[1].plan), panels(all[0].plan));
    EXPECT_GT(panels(all[2].plan), panels(all[0].plan));
    EXPECT_LE(all[2].outcome.any_dry, all[1].outcome.any_dry);
}

TEST(Sizing, WhatIsDescribedStays) {
    const Plan before = clean_van();
    const Plan after = with_wiring(before);
    ASSERT_EQ(after.circuits.size(), before.circuits.size());
    for (std::size_t i = 0; i < before.circuits.size(); ++i) {
        EXPECT_EQ(after.circuits[i].run->size.label, before.circuits[i].run->size.label);
        EXPECT_EQ(after.circuits[i].protection->rating, before.circuits[i].protection->rating);
    }
}

TEST(Sizing, AMissingFuseIsSizedForItsLength) {
    Plan plan = clean_van();
    auto& pump = *std::ranges::find(plan.circuits, "pump", &Circuit::name);
    pump.protection.reset();
    pump.run->one_way = Metre(30);
    const Plan after = with_wiring(plan);
    const auto& sized = *std::ranges::find(after.circuits, "pump", &Circuit::name);
    EXPECT_EQ(sized.run->one_way, Metre(30));
    EXPECT_GT(sized.run->size.area, SquareMillimetre(2.5));
    EXPECT_TRUE(std::ranges::none_of(check(after), [](const Finding& f) { return f.subject == "circuit pump"; }));
}

/// A thin cable that is there gets a fuse that it outlasts and that breaks the bank's short circuit.
TEST(Wiring, FusesAThinCableAtTheBatteryForThatCable) {
    Plan plan = small_bank();
    plan.appliances = {appliance("bilge pump", 60, "bilge")};
    Circuit bilge;
    bilge.name = "bilge";
    bilge.run = metric(1.5, 3.0, 70);
    plan.circuits = {bilge};
    const Plan after = with_wiring(plan);
    const Protection& p = *after.circuits[0].protection;
    EXPECT_LE(p.rating, ampacity(bilge.run->size, bilge.run->laying).corrected());
    EXPECT_GE(p.rating, Ampere(60.0 / 12.0 / continuous_share));
    EXPECT_GE(p.capacity(plan.nominal), fault_current(plan, after.circuits[0]));
}

}  // namespace
}  // namespace amphora::design
