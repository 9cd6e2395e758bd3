// Invented systems, each with one mistake planted into one of the clean ones: every mistake is found and named, and the
// clean systems stay nearly silent.
#include <gtest/gtest.h>

#include <algorithm>
#include <functional>
#include <vector>

#include "core/design/rules.hpp"
#include "support/systems.hpp"

namespace amphora::design {
namespace {

Circuit& named(Plan& p, std::string_view name) { return *std::ranges::find(p.circuits, name, &Circuit::name); }

struct Planted {
    const char* mistake;
    Plan (*system)();
    std::function<void(Plan&)> plant;
    const char* rule;
    const char* subject;
};

std::vector<Planted> planted() {
    return {
        {"2,000 W hob on 12 V and a 150 A shunt", clean_van,
         [](Plan& p) {
             p.shunts[0] = shunt("shunt", 150, 75);
             p.appliances.back().power = Watt(2000);
         },
         "shunt.continuous", "shunt shunt"},
        {"thin cable to the inverter", clean_van, [](Plan& p) { named(p, "inverter").run = metric(16, 1.0); },
         "cable.ampacity", "circuit inverter"},
        {"long thin cable to the refrigerator", clean_van, [](Plan& p) { named(p, "fridge").run = metric(1.5, 7.0); },
         "cable.drop", "circuit fridge"},
        {"60 A fuse on 2.5 mm2", clean_van,
         [](Plan& p) { named(p, "pump").protection = fuse(FuseKind::blade_maxi, 60); }, "fuse.too-large",
         "circuit pump"},
        {"heater fuse at its limit", clean_van, [](Plan& p) { p.appliances[4].power = Watt(168); }, "fuse.too-small",
         "circuit heater"},
        {"no fuse at the battery", clean_van, [](Plan& p) { named(p, "inverter").protection.reset(); }, "fuse.main",
         "circuit inverter"},
        {"fuse a metre and a half from the battery", clean_van,
         [](Plan& p) { named(p, "panel").protection->from_source = Metre(1.5); }, "fuse.place", "circuit panel"},
        {"automotive strip fuse on a large lithium bank", clean_van,
         [](Plan& p) { named(p, "inverter").protection = fuse(FuseKind::sf51, 250); }, "fuse.interrupting",
         "circuit inverter"},
        {"lithium charged in the frost", clean_van,
         [](Plan& p) {
             p.bank.coldest = Celsius(-8);
             p.bank.management_system = false;
         },
         "bank.cold", "bank"},
        {"lead-acid programme on lithium", clean_van, [](Plan& p) { p.chargers[0].absorption = Volt(14.9); },
         "charger.absorption", "charger solar"},
        {"alternator straight to lithium", clean_van, [](Plan& p) { p.chargers[1].limits_current = false; },
         "charger.alternator", "charger driving"},
        {"negative of the heater on the battery post", clean_van,
         [](Plan& p) { named(p, "heater").negative = Negative::battery_post; }, "shunt.bypass", "circuit heater"},
        {"pump returned through the body", clean_van, [](Plan& p) { named(p, "pump").negative = Negative::chassis; },
         "cable.chassis", "circuit pump"},
        {"inverter too small for the hob", clean_van, [](Plan& p) { p.inverters[0].power = Watt(1500); },
         "inverter.power", "inverter inverter"},
        {"bank too weak for the inverter", clean_van, [](Plan& p) { p.bank.most_discharge = Ampere(100); },
         "bank.discharge", "bank"},
        {"three panels in series on a small controller", clean_cabin, [](Plan& p) { p.chargers[0].panels.series = 3; },
         "charger.solar-voltage", "charger solar"},
        {"32 V fuse at 48 V", clean_cabin,
         [](Plan& p) {
             p.nominal = Volt(48);
             p.bank.battery.cells_in_series = 16;
             p.chargers[0].absorption = Volt(56);
             p.chargers[0].float_voltage = Volt(54);
         },
         "fuse.voltage", "circuit lights"},
        {"pump that stalls the inverter", clean_cabin, [](Plan& p) { p.appliances[2].surge = Watt(8000); },
         "inverter.surge", "inverter inverter"},
        {"eight old batteries in parallel", clean_narrowboat, [](Plan& p) { p.bank.strings = 8; }, "bank.strings",
         "bank"},
        {"large parallel bank without string fuses", clean_narrowboat,
         [](Plan& p) {
             p.bank.battery.design_capacity = AmpHour(660);
             p.bank.strings = 3;
         },
         "bank.string-fuse", "bank"},
        {"float far too high for AGM", clean_narrowboat, [](Plan& p) { p.chargers[0].float_voltage = Volt(14.4); },
         "charger.float", "charger shore"},
        {"AGM equalised", clean_narrowboat, [](Plan& p) { p.chargers[0].equalise = Volt(15.5); }, "charger.equalise",
         "charger shore"},
        {"branch fuse larger than the main", clean_stall,
         [](Plan& p) { named(p, "lights").protection = fuse(FuseKind::sf30, 50); }, "fuse.selectivity",
         "circuit lights"},
        {"half an hour of absorption for flooded cells", clean_stall,
         [](Plan& p) { p.chargers[0].absorption_time = Hour(0.5); }, "charger.absorption-time", "charger charger"},
        {"charger plugged in for too short a time", clean_stall, [](Plan& p) { p.chargers[0].hours_a_day = Hour(1); },
         "charger.day-too-short", "chargers"},
        {"five cells described for 12 V of lithium", clean_van, [](Plan& p) { p.bank.battery.cells_in_series = 8; },
         "bank.voltage", "bank"},
        {"bundled in the engine space", clean_truck,
         [](Plan& p) {
             named(p, "winch lights").run = metric(1.5, 3.0, 70);
             named(p, "winch lights").run->laying = {.insulation = Celsius(60), .engine_space = true, .bundled = 6};
             p.appliances[0].power = Watt(140);
         },
         "cable.ampacity", "circuit winch lights"},
        {"lugs for 10 mm2 on 50 mm2", clean_truck, [](Plan& p) { named(p, "main").lug = "10"; }, "cable.lug",
         "circuit main"},
        {"meter that cannot see the standby", clean_van,
         [](Plan& p) {
             p.appliances[5].standby = Watt(0.6);
             p.shunts[0].resolution = Volt(50e-6);
         },
         "shunt.resolution", "shunt shunt"},
        {"meter that drifts", clean_van, [](Plan& p) { p.shunts[0].offset = Volt(100e-6); }, "shunt.offset",
         "shunt shunt"},
        {"blade fuse of 100 A", clean_van, [](Plan& p) { named(p, "driving").protection = fuse(FuseKind::blade, 100); },
         "fuse.kind", "circuit driving"},
        {"voltage compensation on lithium", clean_van, [](Plan& p) { p.chargers[0].compensation_mv = -4; },
         "charger.compensation", "charger solar"},
        {"panels turned to the north", clean_cabin, [](Plan& p) { p.chargers[0].panels.azimuth = Degree(0); },
         "charger.solar-away", "charger solar"},
        {"hours of the engine forgotten", clean_van, [](Plan& p) { p.chargers[1].hours_a_day = Hour(0); },
         "charger.no-hours", "charger driving"},
        {"a panel for a lamp only", clean_cabin, [](Plan& p) { p.chargers[0].panels.peak = Watt(40); }, "plan.short",
         "energy"},
        {"equalising above what the inverter stands", clean_stall,
         [](Plan& p) {
             p.chargers[0].equalise = Volt(15.9);
             p.inverters.emplace_back().power = Watt(300);
             p.inverters.back().highest_input = Volt(15.0);
         },
         "inverter.input", "inverter inverter"},
    };
}

TEST(PlantedMistakes, AreFoundAndNamed) {
    for (const Planted& p : planted()) {
        Plan plan = p.system();
        p.plant(plan);
        const Findings found = check(plan);
        const bool hit =
            std::ranges::any_of(found, [&](const Finding& f) { return f.rule == p.rule && f.subject == p.subject; });
        EXPECT_TRUE(hit) << p.mistake;
    }
}

TEST(PlantedMistakes, StandOutFromTheRest) {
    for (const Planted& p : planted()) {
        Plan plan = p.system();
        p.plant(plan);
        EXPECT_LE(std::ranges::count_if(check(plan), [](const Finding& f) { return f.severity != Severity::note; }), 6)
            << p.mistake;
    }
}

TEST(CleanSystems, StayNearlySilent) {
    for (Plan (*system)() : {clean_van, clean_narrowboat, clean_cabin, clean_stall, clean_truck}) {
        const Plan plan = system();
        int warnings = 0;
        for (const Finding& f : check(plan)) {
            if (f.severity == Severity::note) continue;
            ++warnings;
            SCOPED_TRACE(plan.name + ": " + f.rule + ", " + f.subject + ": " + f.sentence);
            EXPECT_NE(f.severity, Severity::danger);
            EXPECT_LE(warnings, 2);
        }
        RecordProperty(plan.name, warnings);
    }
}

TEST(Findings, SayTheFiguresTheSourceAndTheMend) {
    for (const Planted& p : planted()) {
        Plan plan = p.system();
        p.plant(plan);
        for (const Finding& f : check(plan)) {
            EXPECT_FALSE(f.sentence.empty() || f.source.empty() || f.mend.empty()) << f.rule;
            EXPECT_EQ(f.sentence.find("? "), std::string::npos) << f.sentence;
        }
    }
}

TEST(Findings, TheHobIsCaughtWithItsFigures) {
    Plan plan = clean_van();
    plan.shunts[0] = shunt("shunt", 150, 75);
    plan.appliances.back().power = Watt(2000);
    const Findings found = check(plan);
    const auto it = std::ranges::find(found, "shunt.continuous", &Finding::rule);
    ASSERT_NE(it, found.end());
    EXPECT_EQ(it->severity, Severity::danger);
    EXPECT_GT(it->figures[0].value, 180.0);
    EXPECT_EQ(it->figures[1].value, 150.0);
}

}  // namespace
}  // namespace amphora::design
