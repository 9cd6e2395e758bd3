// Error budget of counted charge. The split of the error into a part that grows with time and one that grows with the
// charge moved: K. Movassagh, A. Raihan, B. Balasingam, K. Pattipati, Energies 14 (2021) 4074, abstract read
// (arXiv 2101.05435). All figures here are recomputed from the formulas in core/meter/error_budget.hpp.
#include <gtest/gtest.h>

#include "core/meter/error_budget.hpp"
#include "core/meter/resolution.hpp"
#include "core/meter/unseen_charge.hpp"
#include "core/meter/zero_offset.hpp"

namespace amphora {
namespace {

constexpr double hours_per_day = 24;

double days_until(double points, double capacity, double offset) {
    return time_until_off(Fraction(points / 100), AmpHour(capacity), Ampere(offset)).value() / hours_per_day;
}

TEST(ErrorBudget, DaysUntilPointsOffFromOffset) {
    EXPECT_NEAR(days_until(5, 200, 0.020), 20.8333, 5e-5);
    EXPECT_NEAR(days_until(5, 100, 0.050), 4.16667, 5e-6);
    EXPECT_NEAR(days_until(2, 100, -0.010), 8.33333, 5e-6);
    EXPECT_NEAR(days_until(5, 200, 0.1), 100.0 / 24, 1e-9);
    EXPECT_EQ(days_until(5, 200, 0), std::numeric_limits<double>::infinity());
}

TEST(ErrorBudget, NoiseHardlyMattersBesideOffset) {
    const MeterErrors meter{.offset = Ampere(0.020), .noise = Ampere(0.1), .interval = Second(1)};
    EXPECT_NEAR(time_until_off(Fraction(0.05), AmpHour(200), meter, 1.96).value(), 255.0986, 5e-5);
    const MeterErrors silent{.offset = Ampere(0.020)};
    EXPECT_NEAR(time_until_off(Fraction(0.05), AmpHour(200), silent, 1.96).value(), 255.1020, 5e-5);
    const MeterErrors perfect{};
    EXPECT_EQ(time_until_off(Fraction(0.05), AmpHour(200), perfect, 1.96).value(),
              std::numeric_limits<double>::infinity());
}

TEST(ErrorBudget, NoiseAloneForAMonth) {
    const MeterErrors meter{.noise = Ampere(0.1), .interval = Second(1)};
    EXPECT_NEAR(charge_error(meter, {.elapsed = Hour(720)}).noise.value(), 0.0447214, 5e-8);
    // In one hour: 1.66667 mA sqrt(h).
    EXPECT_NEAR(charge_error(meter, {.elapsed = Hour(1)}).noise.value(), 1.66667e-3, 5e-9);
}

TEST(ErrorBudget, OneWeek) {
    const MeterErrors meter{.offset = Ampere(0.010), .gain = Fraction(0.005), .noise = Ampere(0.1)};
    const ChargeError e = charge_error(meter, {.elapsed = Hour(168), .net = AmpHour(-60), .throughput = AmpHour(200)});
    EXPECT_NEAR(e.offset.value(), 1.68, 1e-12);
    EXPECT_NEAR(e.noise.value(), 0.0216025, 5e-8);
    EXPECT_NEAR(e.gain.value(), 0.3, 1e-12);
    const Uncertain<AmpHour> exact_capacity{AmpHour(200), AmpHour(0)};
    EXPECT_NEAR(state_of_charge_error(e, AmpHour(-60), exact_capacity).value(), 0.00853356, 5e-9);
    // A capacity known to 5 % adds 60/200 x 5 % = 1.5 points in quadrature.
    const Uncertain<AmpHour> capacity{AmpHour(200), AmpHour(10)};
    EXPECT_NEAR(state_of_charge_error(e, AmpHour(-60), capacity).value(), std::hypot(0.00853356, 0.015), 1e-8);
}

TEST(ErrorBudget, WanderingOffsetAndClock) {
    const MeterErrors wandering{.offset_walk = AmperePerRootHour(1e-3)};
    EXPECT_NEAR(charge_error(wandering, {.elapsed = Hour(720)}).total().value(), 11.1542, 5e-5);
    const MeterErrors fast{.clock = Fraction(50e-6)};
    EXPECT_NEAR(charge_error(fast, {.elapsed = Hour(720), .throughput = AmpHour(100)}).total().value(), 0.005, 1e-12);
}

TEST(ErrorBudget, OffsetFromMicrovolts) {
    EXPECT_NEAR(offset_from_drop(Volt(5e-6), Ampere(500), Volt(0.050)).value(), 0.050, 1e-12);
    EXPECT_NEAR(offset_from_drop(Volt(1e-6), Ampere(500), Volt(0.050)).value(), 0.010, 1e-12);
    EXPECT_NEAR(offset_from_drop(Volt(5e-6), Ampere(200), Volt(0.050)).value(), 0.020, 1e-12);
    EXPECT_NEAR(offset_from_drop(Volt(5e-6), Ampere(100), Volt(0.075)).value(), 6.6667e-3, 5e-8);
    // 10 K between the shunt's ends at 1 uV/K (manganin against copper): 0.1 A on 500 A / 50 mV, 2.4 Ah a day.
    const Ampere thermal = offset_from_drop(Volt(10e-6), Ampere(500), Volt(0.050));
    EXPECT_NEAR((thermal * Hour(24)).value(), 2.4, 1e-12);
}

TEST(ErrorBudget, FinestStepIsNoiseOnlyWhenNoiseSpreadsIt) {
    const StepError spread = step_error(Ampere(0.1), Ampere(0.05));
    EXPECT_NEAR(spread.noise.value(), std::sqrt(0.05 * 0.05 + 0.01 / 12), 1e-15);
    EXPECT_EQ(spread.worst_offset, Ampere(0));
    const StepError stuck = step_error(Ampere(0.1), Ampere(0.001));
    EXPECT_EQ(stuck.worst_offset, Ampere(0.05));
    EXPECT_EQ(stuck.noise, Ampere(0.001));
}

TEST(ErrorBudget, DeadBandHidesStandby) {
    EXPECT_NEAR(charge_unseen(Ampere(-0.050), Ampere(0.1), Hour(720)).value(), -36.0, 1e-12);
    EXPECT_EQ(charge_unseen(Ampere(-0.150), Ampere(0.1), Hour(720)), AmpHour(0));
    EXPECT_EQ(charge_unseen(Ampere(0.150), Ampere(0.1), Hour(720)), AmpHour(0));
}

TEST(ErrorBudget, ZeroOffsetFromSixHours) {
    EXPECT_NEAR(zero_offset_sd(Ampere(0.1), 21'600, Autocorrelation(0)).value(), 0.68e-3, 0.005e-3);
}

TEST(ErrorBudget, CorrelatedReadingsAreWorthFewer) {
    EXPECT_NEAR(effective_readings(60, Autocorrelation(0.8)), 7.200, 5e-4);
    EXPECT_NEAR(effective_readings(60, Autocorrelation(0.95)), 2.229, 5e-4);
    EXPECT_NEAR(effective_readings(300, Autocorrelation(0.95)), 8.227, 5e-4);
    EXPECT_NEAR(effective_readings(100, Autocorrelation(0)), 100, 1e-9);
    // Long series: n (1 - phi) / (1 + phi).
    EXPECT_NEAR(effective_readings(1'000'000, Autocorrelation(0.95)) / 1e6, 0.05 / 1.95, 1e-6);
}

TEST(UnseenCharge, GapOfTenMinutes) {
    // Much shorter than the correlation time: the whole deviation stays for the whole gap, 4 A x 600 s.
    EXPECT_NEAR(gap_charge_sd(Ampere(4), Second(600), Second(1e9)).value(), 0.66667, 5e-6);
    EXPECT_EQ(gap_charge_sd(Ampere(4), Second(0), Second(100)), AmpHour(0));
    // Much longer: var = 2 S^2 tau G.
    const double long_gap = gap_charge_sd(Ampere(4), Second(36e6), Second(600)).value();
    EXPECT_NEAR(long_gap, 4 * std::sqrt(2.0 * 600 * 36e6) / 3600, long_gap * 1e-4);
}

TEST(UnseenCharge, SwitchingLoadsBetweenReadings) {
    const AmpHour sd = switching_charge_sd({.between = Hour(1.0 / 20), .step = Ampere(5)}, Second(1), Hour(24));
    EXPECT_NEAR(sd.value() * 3600, 31.6, 0.05);
    EXPECT_NEAR(sd.value(), 0.0088, 5e-5);
}

}  // namespace
}  // namespace amphora
