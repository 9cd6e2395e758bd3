// Appliances, circuits, chargers and the weather, from text to plan; and every mistake in them named.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <string>

#include "core/design/energy.hpp"
#include "core/design/plan_of.hpp"
#include "core/design/rules.hpp"
#include "io/describe/describe.hpp"

namespace amphora::describe {
namespace {

const std::string managed_battery =
    "[battery]\nchemistry = \"lfp\"\ndesign_capacity_ah = 200\nmanagement_system = true\n";

design::Plan plan_from(const std::string& text) {
    const auto described = describe_text(managed_battery + text);
    EXPECT_TRUE(described) << (described ? "" : described.error().front().message);
    return design::plan_of(described ? described->system : System{});
}

Mistakes mistakes_in(const std::string& text) {
    const auto described = describe_text(managed_battery + text);
    return described ? Mistakes{} : described.error();
}

TEST(Equipment, ApplianceHoursGoOverMidnight) {
    const auto plan = plan_from("[[appliance]]\nname = \"heater\"\npower_w = 24\non_h = [22, 2, 6.5, 8]\n");
    ASSERT_EQ(plan.appliances.size(), 1U);
    const auto& on = plan.appliances[0].on_by_hour;
    EXPECT_EQ(on[23], 1.0);
    EXPECT_EQ(on[1], 1.0);
    EXPECT_EQ(on[2], 0.0);
    EXPECT_EQ(on[6], 0.5);
    EXPECT_NEAR(design::daily_use(plan.appliances[0], 0).value(), 24.0 * 5.5, 1e-9);
}

TEST(Equipment, ApplianceInAmperesAndHoursADay) {
    const auto plan = plan_from(
        "[[appliance]]\nname = \"pump\"\ncurrent_a = 5\non_h = [7, 11]\ndaily_h = 0.5\ndays_a_week = 3.5\nmonths = [7, "
        "8]\n");
    EXPECT_EQ(plan.appliances[0].power, Watt(60));
    EXPECT_NEAR(design::daily_use(plan.appliances[0], 7).value(), 60.0 * 0.5 / 2.0, 1e-9);
    EXPECT_EQ(design::daily_use(plan.appliances[0], 1), WattHour(0));
}

TEST(Equipment, CircuitWithItsFuse) {
    const auto plan = plan_from(
        "[[circuit]]\nname = \"main\"\npurpose = \"main\"\ncable_awg = \"2/0\"\nlength_m = 1\nfuse_kind = "
        "\"class-t\"\nfuse_a = 200\n"
        "[[circuit]]\nname = \"light\"\nfrom = \"main\"\ncable_mm2 = 1.5\nlength_m = 4\nengine_space = true\nnegative "
        "= \"chassis\"\n");
    ASSERT_EQ(plan.circuits.size(), 2U);
    EXPECT_EQ(design::name(plan.circuits[0].run->size), "2/0 AWG");
    EXPECT_EQ(plan.circuits[0].protection->kind, design::FuseKind::class_t);
    EXPECT_FALSE(plan.circuits[1].protection);
    EXPECT_TRUE(plan.circuits[1].run->laying.engine_space);
    EXPECT_EQ(plan.circuits[1].negative, design::Negative::chassis);
}

TEST(Equipment, RouteByMonths) {
    const auto plan = plan_from("[climate]\nplace = \"berlin\"\n[[stay]]\nmonths = [12, 1]\nplace = \"seville\"\n");
    EXPECT_EQ(plan.climate.months[0].latitude, sun::known_place("seville")->place.latitude);
    EXPECT_EQ(plan.climate.months[5].latitude, sun::known_place("berlin")->place.latitude);
    EXPECT_TRUE(plan.climate.given);
}

TEST(Equipment, PlaceWithoutClimateTakesTheNearestSky) {
    const auto plan = plan_from("[place]\nlatitude = 52.3\nlongitude = -1.2\n");
    EXPECT_TRUE(plan.climate.given);
    EXPECT_THAT(plan.climate.source, testing::HasSubstr("london"));
    EXPECT_GT(plan.climate.trust, 0.2);
}

struct WrongEquipment {
    const char* text;
    const char* path;
    const char* message;
};

TEST(Equipment, MistakesAreNamed) {
    for (const WrongEquipment& w : {
             WrongEquipment{
                 "[[appliance]]\nname = \"a\"\npower_w = 5\ncircuit = \"fridge\"\n[[circuit]]\nname = \"fridges\"\n",
                 "appliance[1].circuit", "did you mean \"fridges\""},
             WrongEquipment{"[[circuit]]\nname = \"a\"\nfrom = \"b\"\n[[circuit]]\nname = \"b\"\nfrom = \"a\"\n",
                            "circuit[1].from", "feed each other"},
             WrongEquipment{"[[circuit]]\nname = \"a\"\ncable_mm2 = 5\nlength_m = 1\n", "circuit[1].cable_mm2",
                            "IEC 60228"},
             WrongEquipment{"[[circuit]]\nname = \"a\"\ncable_awg = \"5/0\"\nlength_m = 1\n", "circuit[1].cable_awg",
                            "4/0"},
             WrongEquipment{"[[circuit]]\nname = \"a\"\ncable_mm2 = 4\n", "circuit[1]", "length_m"},
             WrongEquipment{"[[circuit]]\nname = \"a\"\nfuse_a = 4\n", "circuit[1].fuse_a", "fuse_kind"},
             WrongEquipment{"[[circuit]]\nname = \"a\"\ncritical = \"yes\"\n", "circuit[1].critical", "true or false"},
             WrongEquipment{"[[appliance]]\nname = \"a\"\npower_w = 5\non_h = [1, 2, 3]\n", "appliance[1].on_h",
                            "pairs"},
             WrongEquipment{"[[appliance]]\nname = \"a\"\npower_w = 5\ncurrent_a = 1\n", "appliance[1].current_a",
                            "both"},
             WrongEquipment{"[[appliance]]\nname = \"a\"\n", "appliance[1]", "power_w"},
             WrongEquipment{"[[charger]]\nname = \"sun\"\nkind = \"solar\"\ncurrent_a = 10\n", "charger[1]", "panel_w"},
             WrongEquipment{"[[inverter]]\npower_w = 500\ncurve_load = [0.1, 0.5]\ncurve_efficiency = [0.8]\n",
                            "inverter[1].curve_efficiency", "2 values"},
             WrongEquipment{"[climate]\nplace = \"rome\"\nmean_c = [1, 2]\n", "climate.mean_c", "12 values"},
             WrongEquipment{"[[stay]]\nmonths = [1.5]\nplace = \"rome\"\n", "stay[1].months", "whole months"},
             WrongEquipment{"[climate]\nweather_file = \"a.epw\"\n[[stay]]\nmonths = [1]\nplace = \"rome\"\n",
                            "stay[1]", "both"},
             WrongEquipment{"[[appliance]]\nname = \"a\"\npower_w = 5\non_h = [22, 1]\ndaily_h = 4\n",
                            "appliance[1].daily_h", "3 h of on_h"},
             WrongEquipment{"[[circuit]]\nname = \"c\"\n[[appliance]]\nname = \"a\"\npower_w = 5\nfed_by = "
                            "\"inverter\"\ncircuit = "
                            "\"c\"\n",
                            "appliance[1].circuit", "no circuit"},
         }) {
        const Mistakes found = mistakes_in(w.text);
        const bool hit = std::ranges::any_of(found, [&](const Mistake& m) {
            return m.path == w.path && m.message.find(w.message) != std::string::npos;
        });
        EXPECT_TRUE(hit) << w.text << (found.empty() ? "nothing" : found.front().path + ": " + found.front().message);
    }
}

/// The examples are systems without a danger; each may have a weakness or two to talk about.
TEST(Equipment, ExamplesAreSound) {
    for (const char* name : {"blue-heron", "quiet-mallard", "stone-pine-cabin"}) {
        const auto described = describe_file(std::string(AMPHORA_SOURCE_DIR "/examples/") + name + ".toml");
        ASSERT_TRUE(described) << name << ": " << described.error().front().message;
        const auto findings = design::check(design::plan_of(described->system));
        EXPECT_EQ(std::ranges::count(findings, design::Severity::danger, &design::Finding::severity), 0) << name;
        EXPECT_LE(std::ranges::count(findings, design::Severity::warning, &design::Finding::severity), 2) << name;
        EXPECT_GT(described->system.equipment.circuits.size(), 5U);
    }
}

}  // namespace
}  // namespace amphora::describe
