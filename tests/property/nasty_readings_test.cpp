// No sequence of readings, however wrong, makes the estimate anything but an estimate; and not knowing shows.
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <random>
#include <string>

#include "core/pipeline/pipeline.hpp"
#include "property/ordinary_days.hpp"

namespace amphora {
namespace {

class AnyReadings : public testing::TestWithParam<Chemistry> {};
INSTANTIATE_TEST_SUITE_P(All, AnyReadings,
                         testing::Values(Chemistry::lfp, Chemistry::agm, Chemistry::gel, Chemistry::flooded,
                                         Chemistry::nmc, Chemistry::nca, Chemistry::lto));

double sd_after_gap(Chemistry chemistry, double gap_hours) {
    Pipeline pipeline(battery_of(chemistry));
    const auto readings = ordinary_days(chemistry, 3);
    for (const Reading& r : readings) pipeline.push(r);
    Reading next = readings.back();
    next.at = next.at + to_seconds(Hour(gap_hours));
    next.voltage = Volt::missing();
    pipeline.push(next);
    next.at = next.at + Second(5);
    pipeline.push(next);
    return pipeline.now().state_of_charge.sd.value();
}

TEST_P(AnyReadings, TheBandWidensInAGap) {
    const double none = sd_after_gap(GetParam(), 5.0 / 3600);
    const double hour = sd_after_gap(GetParam(), 1);
    const double night = sd_after_gap(GetParam(), 10);
    const double week = sd_after_gap(GetParam(), 168);
    EXPECT_GT(hour, none);
    EXPECT_GT(night, hour);
    EXPECT_GT(week, hour);
    EXPECT_GT(week, 0.15) << "a week without readings: nobody knows";
}

void expect_sane(const Estimate& e, const std::string& where) {
    const double soc = e.state_of_charge.mean.value();
    ASSERT_TRUE(soc >= 0 && soc <= 1) << where << " state of charge " << soc;
    ASSERT_TRUE(e.state_of_charge.sd.value() >= 0 && e.state_of_charge.sd.value() < 1)
        << where << " sd " << e.state_of_charge.sd.value();
    ASSERT_TRUE(e.remaining.mean.value() >= 0 && e.remaining.mean.known()) << where;
    ASSERT_TRUE(e.remaining.sd.value() >= 0 && e.remaining.sd.known()) << where;
    ASSERT_TRUE(e.full_charge_capacity.mean.value() > 0 && e.full_charge_capacity.mean.known())
        << where << " capacity " << e.full_charge_capacity.mean.value();
    ASSERT_TRUE(e.full_charge_capacity.sd.value() >= 0 && e.full_charge_capacity.sd.known()) << where;
    ASSERT_TRUE(e.meter_offset.mean.known() && e.meter_offset.sd.value() >= 0) << where;
    for (const TimeRange& t : {e.to_empty, e.to_full}) {  // infinite is an answer; NaN says of all three: not known yet
        if (!t.is_known() && std::isnan(t.low.value()) && std::isnan(t.high.value())) continue;
        ASSERT_FALSE(std::isnan(t.low.value()) || std::isnan(t.likely.value()) || std::isnan(t.high.value())) << where;
        ASSERT_TRUE(t.low <= t.likely && t.likely <= t.high && t.low >= Second(0)) << where;
    }
}

/// A source of readings that does everything wrong that a meter, a wire or a clock can do.
class NastyReadings {
public:
    explicit NastyReadings(std::uint64_t seed) : random_(seed) {}

    Reading next() {
        if (chance(0.002)) mood_ = static_cast<int>(random_() % 6);
        step_clock();
        Reading r{at_, Ampere(pick_current()), Volt(pick_voltage()), Celsius(pick(18.0))};
        if (mood_ == 5) return stuck_ = {at_, stuck_.current, stuck_.voltage, stuck_.temperature};
        stuck_ = r;
        return r;
    }

private:
    bool chance(double p) { return std::uniform_real_distribution<double>()(random_) < p; }

    void step_clock() {
        const double jump = chance(0.01) ? 1 : 0;
        const double kinds[] = {0,   -5,         -3600, 3 * 365.25 * 86400,  -40 * 365.25 * 86400,
                                700, 86400 * 30, 1e-6,  300 * 365.25 * 86400};
        at_ = at_ + Second(jump > 0 ? kinds[random_() % std::size(kinds)] : 5);
    }

    double pick(double ordinary) {
        const double values[] = {nan,
                                 std::numeric_limits<double>::infinity(),
                                 -std::numeric_limits<double>::infinity(),
                                 1e308,
                                 -1e308,
                                 1e-320,
                                 0,
                                 -0.0,
                                 1e9,
                                 -1e9};
        return chance(mood_ == 1 ? 0.5 : 0.01) ? values[random_() % std::size(values)] : ordinary;
    }

    double pick_current() {
        const double usual = mood_ == 2 ? 9999 : mood_ == 3 ? -9999 : 20 * std::normal_distribution<double>()(random_);
        return pick(usual);
    }

    double pick_voltage() {
        const double usual = mood_ == 4 ? 39.9 * std::uniform_real_distribution<double>()(random_)
                                        : 13 + 0.5 * std::normal_distribution<double>()(random_);
        return pick(usual);
    }

    std::mt19937_64 random_;
    Instant at_ = Instant::from_unix(start_of_time);
    int mood_ = 0;
    Reading stuck_{};
};

TEST_P(AnyReadings, NoReadingsMakeAnEstimateInsane) {
    for (std::uint64_t seed = 1; seed <= 8; ++seed) {
        Pipeline pipeline(battery_of(GetParam()), {.keep_for_hindsight = true});
        NastyReadings nasty(seed);
        for (int k = 0; k < 8000; ++k) {
            const bool closed = pipeline.push(nasty.next());
            if (!closed && k % 16 != 0) continue;
            expect_sane(pipeline.now(), "seed " + std::to_string(seed) + " reading " + std::to_string(k));
            if (HasFatalFailure()) return;
        }
        for (const Hindsight& h : pipeline.hindsight()) {
            ASSERT_TRUE(h.state_of_charge.mean.value() >= 0 && h.state_of_charge.mean.value() <= 1) << "seed " << seed;
            ASSERT_TRUE(h.state_of_charge.sd.value() >= 0 && h.state_of_charge.sd.known()) << "seed " << seed;
        }
    }
}

TEST_P(AnyReadings, AnEstimateIsSaneBeforeTheFirstReadings) {
    Pipeline pipeline(battery_of(GetParam()));
    expect_sane(pipeline.now(), "before any reading");
    pipeline.push({Instant::from_unix(start_of_time), Ampere(nan), Volt(nan), Celsius(nan)});
    expect_sane(pipeline.now(), "after one empty reading");
    EXPECT_GT(pipeline.now().state_of_charge.sd, Fraction(0.2)) << "nothing is known yet, and the band must say so";
    EXPECT_TRUE(pipeline.hindsight().empty());
}

}  // namespace
}  // namespace amphora
