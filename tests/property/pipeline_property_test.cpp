// Replay is live, the same readings give the same bits, and what goes in is counted.
#include <gtest/gtest.h>

#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>
#include <optional>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "core/pipeline/pipeline.hpp"
#include "property/ordinary_days.hpp"

namespace amphora {
namespace {

/// Everything an estimate says, as bits, so that equal means equal and a NaN equals itself.
std::vector<std::uint64_t> bits_of(const Estimate& e) {
    std::vector<std::uint64_t> bits{static_cast<std::uint64_t>(e.at.us), static_cast<std::uint64_t>(e.evidence.kind),
                                    static_cast<std::uint64_t>(e.evidence.at.us)};
    for (const double x : {e.state_of_charge.mean.value(),
                           e.state_of_charge.sd.value(),
                           e.remaining.mean.value(),
                           e.remaining.sd.value(),
                           e.full_charge_capacity.mean.value(),
                           e.full_charge_capacity.sd.value(),
                           e.meter_offset.mean.value(),
                           e.meter_offset.sd.value(),
                           e.current.value(),
                           e.voltage.value(),
                           e.temperature.value(),
                           e.power.value(),
                           e.to_empty.low.value(),
                           e.to_empty.likely.value(),
                           e.to_empty.high.value(),
                           e.to_full.low.value(),
                           e.to_full.likely.value(),
                           e.to_full.high.value(),
                           e.evidence.in_since.value(),
                           e.evidence.out_since.value()})
        bits.push_back(std::bit_cast<std::uint64_t>(x));
    return bits;
}

std::vector<std::uint64_t> bits_of(const std::vector<Hindsight>& hindsight) {
    std::vector<std::uint64_t> bits;
    for (const Hindsight& h : hindsight) {
        bits.push_back(static_cast<std::uint64_t>(h.at.us));
        bits.push_back(std::bit_cast<std::uint64_t>(h.state_of_charge.mean.value()));
        bits.push_back(std::bit_cast<std::uint64_t>(h.state_of_charge.sd.value()));
    }
    return bits;
}

class EveryChemistry : public testing::TestWithParam<Chemistry> {};
INSTANTIATE_TEST_SUITE_P(All, EveryChemistry,
                         testing::Values(Chemistry::lfp, Chemistry::agm, Chemistry::gel, Chemistry::flooded,
                                         Chemistry::nmc, Chemistry::nca, Chemistry::lto));

TEST_P(EveryChemistry, TheSameReadingsGiveTheSameBits) {
    const auto readings = ordinary_days(GetParam(), 2);
    Pipeline first(battery_of(GetParam())), second(battery_of(GetParam()));
    for (const Reading& r : readings) {
        EXPECT_EQ(first.push(r), second.push(r));
    }
    EXPECT_EQ(bits_of(first.now()), bits_of(second.now()));
}

// Live, someone looks after every reading, asks for hindsight now and then, and the pipeline is moved about. Replay
// pushes all at once and looks at the end. The estimates agree to the bit, those along the way too.
TEST_P(EveryChemistry, ReplayEqualsLiveToTheBit) {
    const auto readings = ordinary_days(GetParam(), 3);
    Pipeline live(battery_of(GetParam()), {.keep_for_hindsight = true});
    std::vector<std::vector<std::uint64_t>> seen;
    for (std::size_t k = 0; k < readings.size(); ++k) {
        live.push(readings[k]);
        (void)live.now();
        if (k % 9000 == 4500) {
            (void)live.hindsight();
            Pipeline moved = std::move(live);
            live = std::move(moved);
        }
        if (k % 5000 == 0) seen.push_back(bits_of(live.now()));
    }
    Pipeline replay(battery_of(GetParam()), {.keep_for_hindsight = true});
    std::size_t looked = 0;
    for (std::size_t k = 0; k < readings.size(); ++k) {
        replay.push(readings[k]);
        if (k % 5000 == 0) {
            EXPECT_EQ(bits_of(replay.now()), seen[looked++]) << "reading " << k;
        }
    }
    EXPECT_EQ(bits_of(replay.now()), bits_of(live.now()));
    EXPECT_EQ(bits_of(replay.hindsight()), bits_of(live.hindsight()));
}

// A program that ends and starts again puts back what it remembered, and goes on as if nothing had been.
TEST_P(EveryChemistry, GoesOnFromWhatItRemembersToTheBit) {
    const auto readings = ordinary_days(GetParam(), 3);
    Pipeline whole(battery_of(GetParam()));
    Pipeline first(battery_of(GetParam()));
    std::optional<Pipeline> second;
    for (std::size_t k = 0; k < readings.size(); ++k) {
        if (k == readings.size() / 2 + 7) second.emplace(battery_of(GetParam()), first.memory());
        whole.push(readings[k]);
        (second ? *second : first).push(readings[k]);
    }
    EXPECT_EQ(bits_of(second->now()), bits_of(whole.now()));
    EXPECT_EQ(second->oddities().readings, readings.size());
}

TEST_P(EveryChemistry, KeepingForHindsightDoesNotChangeTheEstimate) {
    Pipeline with(battery_of(GetParam()), {.keep_for_hindsight = true}), without(battery_of(GetParam()));
    for (const Reading& r : ordinary_days(GetParam(), 1)) {
        with.push(r);
        without.push(r);
    }
    EXPECT_EQ(bits_of(with.now()), bits_of(without.now()));
}

// Without voltage there is no evidence, and what was counted since the beginning is what went through the meter.
TEST_P(EveryChemistry, CountedChargeIsTheIntegralOfTheCurrent) {
    Pipeline pipeline(battery_of(GetParam()));
    AmpHour in, out;
    auto readings = ordinary_days(GetParam(), 2);
    for (std::size_t k = 0; k < readings.size(); ++k) {
        readings[k].voltage = Volt::missing();
        if (k > 0) {
            const AmpHour moved = readings[k].current * (readings[k].at - readings[k - 1].at);
            (moved > AmpHour(0) ? in : out) += moved;
        }
        // The last whole step ends here: 12 readings of 5 s.
        if (pipeline.push(readings[k]) && k > readings.size() - 13) {
            const LastEvidence e = pipeline.now().evidence;
            EXPECT_EQ(e.kind, Evidence::none);
            EXPECT_NEAR(e.in_since / in, 1, 1e-5);
            EXPECT_NEAR(e.out_since / out, -1, 1e-5);
        }
    }
    EXPECT_GT(in, AmpHour(50));
}

TEST_P(EveryChemistry, EveryReadingIsCountedAndEveryOddityToo) {
    Pipeline pipeline(battery_of(GetParam()));
    auto readings = ordinary_days(GetParam(), 0.5);
    const std::size_t clean = readings.size();
    for (const Reading& r : readings) pipeline.push(r);
    const Reading last = readings.back();
    Reading odd = last;
    pipeline.push(odd);  // the same time again
    odd.at = last.at + Second(-30);
    pipeline.push(odd);  // earlier
    odd.at = last.at + Second(5);
    odd.current = Ampere(nan);
    pipeline.push(odd);
    odd.at = last.at + Second(10);
    odd.current = Ampere(-3);
    odd.voltage = Volt(nan);
    pipeline.push(odd);
    odd.at = last.at + Second(15);
    odd.voltage = Volt(13);
    odd.temperature = Celsius(nan);
    pipeline.push(odd);
    odd.at = last.at + Second(20);
    odd.current = Ampere(1e9);
    pipeline.push(odd);
    odd.at = last.at + Second(4000);
    odd.current = Ampere(-3);
    pipeline.push(odd);
    const Oddities& o = pipeline.oddities();
    EXPECT_EQ(o.readings, clean + 7);
    EXPECT_EQ(o.duplicate_time, 1U);
    EXPECT_EQ(o.backward_time, 1U);
    EXPECT_GE(o.current_missing, 1U);
    EXPECT_GE(o.voltage_missing, 1U);
    EXPECT_GE(o.temperature_missing, 1U);
    EXPECT_EQ(o.out_of_range, 1U);
    EXPECT_EQ(o.gaps, 1U);
    EXPECT_NEAR(o.gap_time.value(), 3980, 1e-6);
}

TEST_P(EveryChemistry, AStuckSensorIsNoticed) {
    Pipeline pipeline(battery_of(GetParam()));
    for (int k = 0; k < 20000; ++k)
        pipeline.push({Instant::from_unix(start_of_time + 5 * k), Ampere(-3.1), Volt(13.01), Celsius(18)});
    EXPECT_GE(pipeline.oddities().stuck, 1U);
}

}  // namespace
}  // namespace amphora
