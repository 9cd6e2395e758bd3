#include "core/design/measured_draw.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "core/design/energy.hpp"
#include "core/design/load.hpp"
#include "core/design/mean_day.hpp"
#include "core/design/rules.hpp"
#include "support/systems.hpp"

namespace amphora::design {
namespace {

Plan measured_in_van(Appliance a, double measured, double band = 1.0) {
    Plan p = clean_van();
    a.measured = MeasuredDraw{Watt(measured), Watt(band)};
    p.appliances = {std::move(a)};
    go_by_measured_draws(p);
    return p;
}

/// What leaves the battery on a mean day is what the test said, times the hours.
TEST(MeasuredDraw, IsWhatTheDayTakesAtTheBattery) {
    const Plan lamps = measured_in_van(appliance("lamps", 20, "lights", 18, 22), 31.0);
    EXPECT_NEAR(daily_use(lamps.appliances[0], 3).value(), 31.0 * 4.0, 1e-9);
    EXPECT_EQ(lamps.appliances[0].measured->described, Watt(20));

    Plan kettle = clean_van();
    kettle.inverters[0].idle = Watt(0);
    kettle.inverters[0].curve_load = {Fraction(0.1), Fraction(0.5), Fraction(1.0)};
    kettle.inverters[0].curve_efficiency = {Fraction(0.80), Fraction(0.93), Fraction(0.86)};
    Appliance a = behind_inverter(appliance("kettle", 900, "", 7, 8));
    a.measured = MeasuredDraw{Watt(1500), Watt(20)};
    kettle.appliances = {a};
    go_by_measured_draws(kettle);
    EXPECT_NEAR(daily_use(kettle, 3).value(), 1500.0, 1e-6);
    EXPECT_LT(kettle.appliances[0].power, Watt(1500)) << "at its own plug it is less";
    EXPECT_GT(kettle.appliances[0].power, Watt(1200));
}

/// A compressor's cable is chosen by its running power; what a test over whole cycles corrects is how often it runs.
TEST(MeasuredDraw, OfWhatSwitchesItselfCorrectsTheDuty) {
    Appliance fridge = appliance("refrigerator", 45, "fridge");
    fridge.duty = Fraction(0.35);
    const Plan p = measured_in_van(fridge, 27.0);
    EXPECT_EQ(p.appliances[0].power, Watt(45));
    EXPECT_NEAR(p.appliances[0].duty.value(), 0.6, 1e-9);
    EXPECT_NEAR(daily_use(p.appliances[0], 0).value(), 27.0 * 24.0, 1e-9);
    const Plan more = measured_in_van(fridge, 60.0);
    EXPECT_NEAR(daily_use(more.appliances[0], 0).value(), 60.0 * 24.0, 1e-9);
    EXPECT_EQ(more.appliances[0].duty, Fraction(0.35));
}

TEST(MeasuredDraw, ChangesWhatTheCircuitCarries) {
    const Plan described = measured_in_van(appliance("pump", 48, "pump", 7, 9), 48.0);
    const Plan thirsty = measured_in_van(appliance("pump", 48, "pump", 7, 9), 96.0);
    const auto& circuit = *std::ranges::find(thirsty.circuits, "pump", &Circuit::name);
    EXPECT_NEAR(
        load_of(thirsty, circuit, Reckoning::installed).out / load_of(described, circuit, Reckoning::installed).out,
        2.0, 1e-9);
    EXPECT_NEAR(load_of_day(thirsty, 0)[8] - load_of_day(described, 0)[8], 48.0, 1e-9);
}

TEST(MeasuredDraw, OfAStandbyIsThatStandby) {
    Appliance router = appliance("router", 0);
    router.standby = Watt(6);
    EXPECT_NEAR(daily_use(measured_in_van(router, 9.0).appliances[0], 0).value(), 9.0 * 24.0, 1e-9);
}

TEST(MeasuredDraw, IsSaidBesideItsUncertainty) {
    const Plan p = measured_in_van(appliance("lamps", 20, "lights", 18, 22), 31.0, 1.2);
    EXPECT_EQ(budget_of(p).uses[0].measured, "31 ± 1.2 W measured, 20 W described");
    const auto noted = [](const Plan& plan) {
        return std::ranges::any_of(check(plan), [](const Finding& f) { return f.rule == "plan.draw-differs"; });
    };
    EXPECT_TRUE(noted(p));
    EXPECT_FALSE(noted(measured_in_van(appliance("lamps", 20, "lights", 18, 22), 23.0))) << "near enough";
    EXPECT_FALSE(noted(measured_in_van(appliance("lamps", 20, "lights", 18, 22), 31.0, 12.0))) << "within its band";
}

}  // namespace
}  // namespace amphora::design
