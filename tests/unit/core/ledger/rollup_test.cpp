#include "core/ledger/rollup.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "core/ledger/rollup_block.hpp"

namespace amphora::ledger {
namespace {

constexpr std::int64_t noon_us = 1'700'000'000'000'000 / day_us * day_us + 12 * hour_us;

Reading at(std::int64_t us, double ampere, double volt = 12.0) {
    return {Instant{us}, Ampere(ampere), Volt(volt), Celsius(20.0)};
}

std::vector<Reading> noisy_log(std::size_t count) {
    std::mt19937 random(4);
    std::vector<Reading> log;
    std::int64_t us = noon_us - 3'456'789;
    for (std::size_t i = 0; i < count; ++i) {
        us += random() % 200 == 0 ? 90'000'000 : 700'000 + static_cast<std::int64_t>(random() % 600'000);
        log.push_back(at(us, static_cast<double>(static_cast<int>(random() % 20001) - 10000) / 1000.0,
                         12.0 + static_cast<double>(random() % 200) / 100.0));
        if (random() % 50 == 0) log.back().current = Ampere::missing();
        if (random() % 50 == 0) log.back().voltage = Volt::missing();
    }
    return log;
}

Rollup total(const std::vector<Rollup>& spans) {
    Rollup sum;
    for (const auto& s : spans) sum.merge(s);
    return sum;
}

TEST(Rollup, AnHourAtTenAmperesIsTenAmpereHours) {
    MinuteRollups rollups;
    for (std::int64_t s = 0; s <= 3600; ++s) rollups.push(at(noon_us + s * 1'000'000, -10.0));
    const Rollup sum = total(rollups.minutes());
    EXPECT_DOUBLE_EQ(sum.out().value(), 10.0);
    EXPECT_DOUBLE_EQ(sum.given_out().value(), 120.0);
    EXPECT_EQ(sum.charge_in, 0);
    EXPECT_EQ(sum.covered_us, hour_us);
    EXPECT_EQ(rollups.minutes().size(), 61U);
    EXPECT_EQ(rollups.minutes().front().readings, 60);
}

TEST(Rollup, AReadingIsSplitAtTheEdgeOfTheMinute) {
    MinuteRollups rollups;
    rollups.push(at(noon_us + 45'000'000, 2.0));
    rollups.push(at(noon_us + 75'000'000, 0.0));
    ASSERT_EQ(rollups.minutes().size(), 2U);
    EXPECT_EQ(rollups.minutes()[0].charge_in, Wide{2'000'000} * 15'000'000);
    EXPECT_EQ(rollups.minutes()[1].charge_in, Wide{2'000'000} * 15'000'000);
}

TEST(Rollup, AHoleInASteadyLogIsNotCountedButASlowLogIs) {
    MinuteRollups steady;
    for (const std::int64_t s : {0, 1, 2, 602, 603}) steady.push(at(noon_us + s * 1'000'000, 5.0));
    EXPECT_EQ(total(steady.minutes()).covered_us, 3'000'000);
    MinuteRollups slow;
    for (const std::int64_t s : {0, 300, 600, 900}) slow.push(at(noon_us + s * 1'000'000, 5.0));
    EXPECT_EQ(total(slow.minutes()).covered_us, 900'000'000);
}

TEST(Rollup, EqualAndBackwardTimesAddReadingsButNoCharge) {
    MinuteRollups rollups;
    for (const std::int64_t s : {120, 121, 121, 30, 31}) rollups.push(at(noon_us + s * 1'000'000, 5.0));
    EXPECT_EQ(total(rollups.minutes()).readings, 5);
    EXPECT_EQ(total(rollups.minutes()).covered_us, 2'000'000);
    EXPECT_EQ(rollups.minutes().front().start_us, noon_us);
}

TEST(Rollup, RollupsOfRollupsEqualThoseOfTheReadings) {
    const auto log = noisy_log(20000);
    MinuteRollups whole;
    for (const auto& r : log) whole.push(r);
    const auto days = roll_up(roll_up(whole.minutes(), hour_us), day_us);
    EXPECT_EQ(days, roll_up(whole.minutes(), day_us));

    std::vector<Rollup> pieces;
    MinuteRollups::Memory memory;
    for (std::size_t i = 0; i < log.size(); i += 777) {
        MinuteRollups piece(memory);
        for (std::size_t k = i; k < std::min(i + 777, log.size()); ++k) piece.push(log[k]);
        memory = piece.memory();
        merge_spans(pieces, piece.minutes());
    }
    EXPECT_EQ(pieces, whole.minutes());
}

TEST(Rollup, MeanAndExtremesAreThoseOfTheReadings) {
    MinuteRollups rollups;
    for (const double v : {12.31, 12.35, 12.3}) rollups.push(at(noon_us, 1.0, v));
    const Range& voltage = rollups.minutes().front().voltage;
    EXPECT_EQ(voltage.lowest(), 12.3);
    EXPECT_EQ(voltage.highest(), 12.35);
    EXPECT_DOUBLE_EQ(voltage.mean(), 12.32);
    EXPECT_TRUE(std::isnan(Range{}.mean()));
}

TEST(Rollup, PackedRollupsComeBackExactly) {
    MinuteRollups rollups;
    for (const auto& r : noisy_log(30000)) rollups.push(r);
    auto spans = rollups.take();
    spans[5].charge_in = Wide{1} << 100;
    spans[6].energy_out = (Wide{1} << 90) + 17;
    const auto bytes = encode_rollups(spans);
    const auto back = decode_rollups(bytes);
    ASSERT_TRUE(back.has_value());
    EXPECT_EQ(*back, spans);
    auto damaged = bytes;
    damaged[damaged.size() / 2] ^= 4U;
    EXPECT_EQ(decode_rollups(damaged).error(), BlockFault::checksum);
    EXPECT_TRUE(decode_rollups(encode_rollups({})).value().empty());
}

}  // namespace
}  // namespace amphora::ledger
