// A record is made from a household whose truth is known; the plan beside it says something else, and the comparison
// must find the truth.
#include "core/design/measured.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "core/design/mean_day.hpp"
#include "support/systems.hpp"

namespace amphora::design {
namespace {

constexpr double volt = 13.2;
constexpr double step_s = 10.0;

struct Truth {
    double refrigerator = 0.0;  // Wh in all
    double kettle = 0.0;
    double lamps = 0.0;
    double base = 0.0;
    double sun = 0.0;
    double engine = 0.0;
};

Plan planned() {
    Plan p = small_bank();
    p.bank.battery.design_capacity = AmpHour(200);
    p.climate = sun::climate_of(*sun::known_place("lyon"));
    p.appliances = {appliance("refrigerator", 50), appliance("lamps", 24, "", 18, 23), appliance("radio", 0)};
    p.appliances[0].duty = Fraction(0.5);
    p.appliances[2].standby = Watt(6);
    p.appliances.push_back(behind_inverter(appliance("kettle", 900, "", 7, 7.3)));
    Inverter i;
    i.power = Watt(1200);
    i.idle_hours = Hour(0);
    p.inverters = {i};
    Charger roof;
    roof.name = "roof";
    roof.kind = ChargerKind::solar;
    roof.current = Ampere(20);
    roof.panels.peak = Watt(200);
    Charger engine;
    engine.name = "engine";
    engine.kind = ChargerKind::alternator;
    engine.current = Ampere(30);
    engine.hours_a_day = Hour(1);
    p.chargers = {roof, engine};
    return p;
}

/// The current of one moment, and what it is made of added to the truth.
double live(double hour, int tick, Truth& t) {
    const double hours = step_s / 3600.0;
    const auto wh = [&](double amperes) { return amperes * volt * hours; };
    double drawn = 0.5;  // 6.6 W around the clock
    t.base += wh(0.5);
    if (std::fmod(hour * 60.0, 60.0) < 20.0) {  // a third of the time, 4 A
        drawn += 4.0;
        t.refrigerator += wh(4.0);
    }
    if (hour >= 19.5 && hour < 21.6) {
        drawn += 1.8;
        t.lamps += wh(1.8);
    }
    if (hour >= 7.1 && hour < 7.2) {
        drawn += 74.0;
        t.kettle += wh(74.0);
    }
    const double sun = hour > 7.0 && hour < 17.0 ? 9.0 * std::sin((hour - 7.0) / 10.0 * 3.14159265) : 0.0;
    t.sun += wh(sun);
    const double engine = hour >= 17.5 && hour < 18.0 ? 29.0 : 0.0;
    t.engine += wh(engine);
    const double noise = 0.03 * std::sin(tick * 12.9898);
    return sun + engine - drawn + noise;
}

struct Lived {
    Measured measured;
    Truth truth;  // a day
};

Lived lived(int days, double gap_from = 99.0) {
    Witness witness(planned());
    Truth t;
    int tick = 0;
    for (int day = 0; day < days; ++day) {
        for (double s = 0.0; s < 86400.0; s += step_s, ++tick) {
            const double hour = s / 3600.0;
            if (day + hour / 24.0 > gap_from && day + hour / 24.0 < gap_from + 1.0) continue;
            const double amperes = live(hour, tick, t);
            witness.push({Instant::from_unix(1.7e9 + day * 86400.0 + s), Ampere(amperes), Volt(volt)}, 3, hour);
        }
    }
    for (double* v : {&t.refrigerator, &t.kettle, &t.lamps, &t.base, &t.sun, &t.engine}) *v /= days;
    return {witness.result(), t};
}

const Comparison& of(const std::vector<Comparison>& list, std::string_view name) {
    return *std::ranges::find(list, name, &Comparison::name);
}

void near(WattHour measured, double truth, double share) { EXPECT_NEAR(measured.value(), truth, truth * share); }

TEST(Measured, TellsApplianceFromAppliance) {
    const auto [m, truth] = lived(20);
    near(of(m.appliances, "refrigerator").measured, truth.refrigerator, 0.10);
    near(of(m.appliances, "lamps").measured, truth.lamps, 0.15);
    near(of(m.appliances, "kettle").measured, truth.kettle, 0.10);
    near(of(m.appliances, "always on").measured, truth.base, 0.15);
    EXPECT_NEAR(of(m.appliances, "refrigerator").times_a_day, 24.0, 2.0);
    EXPECT_NEAR(of(m.appliances, "kettle").power.value(), 74.0 * volt, 40.0);
}

TEST(Measured, TellsChargerFromCharger) {
    const auto [m, truth] = lived(20);
    near(of(m.chargers, "roof").measured, truth.sun, 0.15);
    near(of(m.chargers, "engine").measured, truth.engine, 0.10);
}

TEST(Measured, SaysWhatWasPlanned) {
    const auto m = lived(3).measured;
    const Plan p = planned();
    EXPECT_NEAR(of(m.appliances, "refrigerator").planned.value(), daily_use(p.appliances[0], 3).value(), 1e-6);
    EXPECT_NEAR(of(m.appliances, "always on").planned.value(), 6.0 * 24.0, 1e-6);
    EXPECT_NEAR(m.months[3].planned_out.value(), at_the_shunt(p, 3).out.value(), 1e-6);
}

TEST(Measured, CountsTheMonthAtTheShunt) {
    const auto [m, truth] = lived(10);
    const double net = m.months[3].in.value() - m.months[3].out.value();
    EXPECT_NEAR(net, truth.sun + truth.engine - truth.refrigerator - truth.lamps - truth.kettle - truth.base, 5.0);
    EXPECT_NEAR(m.covered.value(), 240.0, 0.1);
    EXPECT_EQ(m.months[6].covered, Hour(0.0));
}

TEST(Measured, AGapIsNotLived) {
    const auto m = lived(10, 4.2).measured;
    EXPECT_NEAR(m.covered.value(), 9.0 * 24.0, 0.1);
    EXPECT_LT(of(m.appliances, "lamps").measured.value(), 1.3 * 1.8 * volt * 2.1);
}

TEST(Measured, NothingIsMadeUpFromAnEmptyRecord) {
    const Measured m = Witness(planned()).result();
    EXPECT_EQ(m.covered, Hour(0.0));
    for (const Comparison& c : m.appliances) EXPECT_EQ(c.measured.value(), 0.0) << c.name;
}

TEST(Switching, ASurgeOfOneReadingIsNoSwitching) {
    SwitchFinder finder;
    double at = 0.0;
    const auto push = [&](double amperes) {
        at += 1.0;
        return finder.push({Instant::from_unix(at), Ampere(amperes)});
    };
    for (int i = 0; i < 5; ++i) EXPECT_FALSE(push(-1.0));
    EXPECT_FALSE(push(-20.0)) << "the surge";
    EXPECT_FALSE(push(-5.0));
    const auto found = push(-5.0);
    ASSERT_TRUE(found.has_value());
    EXPECT_NEAR(found->change.value(), -4.0, 0.01);
}

}  // namespace
}  // namespace amphora::design
