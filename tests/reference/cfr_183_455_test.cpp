// 33 CFR 183.455, overcurrent protection: place, size, voltage. Cases of our own at the limits that the law states.
#include <gtest/gtest.h>

#include <algorithm>

#include "core/design/rules.hpp"
#include "support/plans.hpp"

namespace amphora::design {
namespace {

Severity severity_of(const Findings& found, std::string_view rule) {
    const auto it = std::ranges::find(found, rule, &Finding::rule);
    return it == found.end() ? Severity::note : it->severity;
}

Circuit ten_gauge(double fuse_a) {
    Circuit c = circuit("heater", "battery", gauge("10", 3.0, 105), fuse(FuseKind::class_t, fuse_a));
    c.continuous = Ampere(30);
    return c;
}

Plan with(Circuit c) {
    Plan plan = small_bank();
    plan.circuits.push_back(std::move(c));
    return plan;
}

TEST(Cfr183455, HalfAgainTheAmpacityIsTheMost) {
    EXPECT_FALSE(finds(check(with(ten_gauge(60))), "fuse.too-large"));
    EXPECT_EQ(severity_of(check(with(ten_gauge(90))), "fuse.too-large"), Severity::warning);
    EXPECT_EQ(severity_of(check(with(ten_gauge(100))), "fuse.too-large"), Severity::danger);
}

TEST(Cfr183455, SevenInchesOrFortyInASheath) {
    Circuit c = ten_gauge(60);
    c.protection->from_source = Metre(0.17);
    EXPECT_FALSE(finds(check(with(c)), "fuse.place"));
    c.protection->from_source = Metre(0.20);
    EXPECT_TRUE(finds(check(with(c)), "fuse.place"));

    Plan plan = with(ten_gauge(60));
    Circuit branch = circuit("light", "heater", gauge("14", 3.0, 105), fuse(FuseKind::blade, 10));
    branch.sheathed = true;
    branch.protection->from_source = Metre(1.0);
    plan.circuits.push_back(branch);
    EXPECT_FALSE(finds(check(plan), "fuse.place"));
    plan.circuits.back().protection->from_source = Metre(1.1);
    EXPECT_TRUE(finds(check(plan), "fuse.place"));
}

TEST(Cfr183455, NotForLessThanTheCircuitsVoltage) {
    Circuit c = ten_gauge(60);
    c.protection->kind = FuseKind::anl;
    Plan plan = with(c);
    EXPECT_FALSE(finds(check(plan), "fuse.voltage"));
    plan.nominal = Volt(48);
    plan.bank.battery.cells_in_series = 16;
    EXPECT_TRUE(finds(check(plan), "fuse.voltage"));
}

}  // namespace
}  // namespace amphora::design
