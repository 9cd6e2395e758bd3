// One prediction and its evidence at a time; how right the whole is, the property and reference tests say.
#include "core/estimate/filter.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace amphora {
namespace {

System lfp_200() {
    System system;
    system.battery.chemistry = Chemistry::lfp;
    system.battery.design_capacity = AmpHour(200);
    system.battery.full = {Volt(13.9), Ampere(8), Second(180)};
    return system;
}

Step minute_at(double current_a, double volt, double tail_a, bool full) {
    Step step;
    step.length_ms = 60000;
    const double charge = current_a / 60.0;
    (charge > 0 ? step.charge_in_ah : step.charge_out_ah) = static_cast<float>(std::abs(charge));
    step.voltage_v = static_cast<float>(volt);
    step.temperature_c = 20.0F;
    step.tail_a = static_cast<float>(tail_a);
    step.full = full;
    return step;
}

void live(Filter& filter, int minutes, const Step& step) {
    for (int k = 0; k < minutes; ++k) filter.advance(step, std::numeric_limits<double>::quiet_NaN(), nullptr);
}

/// A day out of full and back, by a meter without fault.
void honest_day(Filter& filter) {
    live(filter, 600, minute_at(-8, 13.1, -1, false));
    live(filter, 240, minute_at(20, 13.6, -1, false));
    live(filter, 30, minute_at(1, 14.4, 1, true));
}

double offset_of(const Filter& filter) { return filter.belief().mean[part::offset]; }

TEST(Filter, LearnsTheOffsetFromFullToFull) {
    Filter filter(lfp_200());
    for (int day = 0; day < 10; ++day) {
        live(filter, 600, minute_at(-8 + 0.1, 13.1, -1, false));
        live(filter, 240, minute_at(20 + 0.1, 13.6, -1, false));
        live(filter, 30, minute_at(1, 14.4, 1, true));
    }
    EXPECT_NEAR(offset_of(filter), 0.1, 0.03);
}

/// Charge that goes into a full battery and does not stay there (cells that are bled) is no fault of the meter.
TEST(Filter, DoesNotLayASurpriseAtFullToTheMeter) {
    Filter filter(lfp_200());
    live(filter, 30, minute_at(1, 14.4, 1, true));
    live(filter, 240, minute_at(20, 14.4, 20, false));
    live(filter, 10, minute_at(4, 14.4, 4, true));
    EXPECT_NEAR(filter.state_of_charge().mean.value(), 1.0, 0.02);
    EXPECT_NEAR(offset_of(filter), 0.0, 0.1);
}

/// 0.18 C into a cold pack with poor joints stands above the voltage of full long before it is full.
TEST(Filter, AHighCurrentAboveTheVoltageOfFullSaysLittle) {
    Filter filter(lfp_200());
    live(filter, 10, minute_at(36, 13.95, 36, false));
    EXPECT_GT(filter.state_of_charge().sd.value(), 0.08);
}

TEST(Filter, NearFullIsNoSurerThanFullIsKnown) {
    Filter filter(lfp_200());
    for (int day = 0; day < 30; ++day) honest_day(filter);
    EXPECT_GE(filter.state_of_charge().sd.value(), filter.model().tail.always_sd.value());
    EXPECT_LT(filter.state_of_charge().sd.value(), 0.006);
}

}  // namespace
}  // namespace amphora
