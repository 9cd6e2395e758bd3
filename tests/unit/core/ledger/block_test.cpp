#include "core/ledger/block.hpp"

#include <gtest/gtest.h>

#include <bit>
#include <cmath>
#include <limits>
#include <random>

#include "core/ledger/bytes.hpp"
#include "core/ledger/crc32c.hpp"

namespace amphora::ledger {
namespace {

constexpr std::int64_t start_us = 1'700'000'000'000'000;

/// A meter of 10 mA, 10 mV and 0.1 degree with noise and a load that switches, one reading a second.
std::vector<Reading> plain_log(std::size_t count, unsigned seed = 1) {
    std::mt19937 random(seed);
    std::normal_distribution<double> noise;
    std::vector<Reading> log;
    for (std::size_t i = 0; i < count; ++i) {
        const double load = i / 700 % 3 == 0 ? -360.0 : -40.0;
        log.push_back({Instant{start_us + static_cast<std::int64_t>(i) * 1'000'000},
                       Ampere(std::round(load + 2.0 * noise(random)) / 100.0),
                       Volt(std::round(1320.3 + load / 100.0 + 0.4 * noise(random)) / 100.0),
                       Celsius(std::round(181.2 + 0.5 * noise(random)) / 10.0)});
    }
    return log;
}

bool same_bits(double a, double b) { return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b); }

/// Encodes, decodes and compares every bit; returns the size.
std::size_t expect_round_trip(const std::vector<Reading>& log) {
    const auto bytes = encode_block(log);
    Columns columns;
    const auto decoded = decode_block(bytes, columns);
    EXPECT_TRUE(decoded.has_value());
    EXPECT_EQ(columns.size(), log.size());
    if (columns.size() != log.size()) return 0;
    for (std::size_t i = 0; i < log.size(); ++i) {
        const bool same = columns.time_us[i] == log[i].at.us && same_bits(columns.current[i], log[i].current.value()) &&
                          same_bits(columns.voltage[i], log[i].voltage.value()) &&
                          same_bits(columns.temperature[i], log[i].temperature.value());
        EXPECT_TRUE(same) << "reading " << i;
        if (!same) return 0;
    }
    return bytes.size();
}

TEST(Block, PlainLogComesBackInUnderOneByteAReading) {
    const std::size_t size = expect_round_trip(plain_log(block_capacity));
    EXPECT_LT(size, block_capacity * 8 / 10);
}

TEST(Block, EveryLengthComesBack) {
    for (const std::size_t count : {0U, 1U, 2U, 3U, 60U, 2047U, 2048U, 2051U, 32767U})
        expect_round_trip(plain_log(count));
}

TEST(Block, MissingValuesComeBackMissing) {
    auto log = plain_log(5000);
    for (std::size_t i = 100; i < 200; ++i) log[i].current = Ampere::missing();
    log.front().voltage = Volt::missing();
    log.back().voltage = Volt::missing();
    for (auto& r : log) r.temperature = Celsius::missing();
    EXPECT_LT(expect_round_trip(log), 5000U);
}

TEST(Block, OddDoublesComeBackBitForBit) {
    auto log = plain_log(3000);
    log[5].current = Ampere(-0.0);
    log[6].current = Ampere(std::numeric_limits<double>::infinity());
    log[7].current = Ampere(std::nextafter(1.0, 2.0));
    log[8].voltage = Volt(std::numeric_limits<double>::denorm_min());
    log[9].voltage = Volt(-std::numeric_limits<double>::max());
    log[10].temperature = Celsius(std::bit_cast<double>(0x7FF8DEADBEEF0001U));  // a NaN with a payload
    EXPECT_LT(expect_round_trip(log), 3500U);
}

TEST(Block, DoublesWithoutACommonStepComeBackBitForBit) {
    std::mt19937_64 random(7);
    auto log = plain_log(4000);
    for (auto& r : log) {
        r.current = Ampere(r.current.value() * 1.000123456789);
        r.voltage = Volt(std::bit_cast<double>(random()));
        r.temperature = Celsius(static_cast<double>(static_cast<float>(r.temperature.value())));
    }
    expect_round_trip(log);
}

TEST(Block, CoarseStepOfTheMeterIsFound) {
    auto fine = plain_log(8000);
    auto coarse = fine;
    for (auto& r : coarse) r.current = Ampere(std::round(r.current.value() * 100.0) * 25.0 / 1000.0);  // steps of 25 mA
    EXPECT_LT(std::abs(static_cast<double>(expect_round_trip(coarse)) - static_cast<double>(expect_round_trip(fine))),
              100.0);
}

TEST(Block, JitteringClockGapsAndBackwardTimesComeBack) {
    std::mt19937 random(3);
    auto log = plain_log(6000);
    for (auto& r : log) r.at.us += static_cast<std::int64_t>(random() % 900);
    for (std::size_t i = 3000; i < log.size(); ++i) log[i].at.us += 7'200'000'000;
    log[4000].at.us -= 10'000'000'000;
    log[4001].at = log[4000].at;
    log[10].at.us = std::numeric_limits<std::int64_t>::min();
    log[11].at.us = std::numeric_limits<std::int64_t>::max();
    expect_round_trip(log);
}

TEST(Block, MillisecondJitterCostsOnlyTheJitter) {
    std::mt19937 random(3);
    auto log = plain_log(block_capacity);
    const std::size_t steady = expect_round_trip(log);
    for (auto& r : log) r.at.us += static_cast<std::int64_t>(random() % 8) * 1000;
    EXPECT_LT(static_cast<double>(expect_round_trip(log) - steady) * 8.0 / block_capacity, 3.0 * 1.05);
}

TEST(Block, EveryFlippedBitIsNoticed) {
    auto bytes = encode_block(plain_log(300));
    Columns columns;
    for (std::size_t bit = 0; bit < bytes.size() * 8; ++bit) {
        bytes[bit / 8] ^= static_cast<std::uint8_t>(1U << bit % 8);
        EXPECT_FALSE(decode_block(bytes, columns).has_value()) << "bit " << bit;
        EXPECT_EQ(columns.size(), 0U);
        bytes[bit / 8] ^= static_cast<std::uint8_t>(1U << bit % 8);
    }
}

TEST(Block, EveryTruncationIsNoticed) {
    const auto bytes = encode_block(plain_log(300));
    Columns columns;
    for (std::size_t length = 0; length < bytes.size(); ++length)
        EXPECT_FALSE(decode_block(std::span(bytes).first(length), columns).has_value());
}

/// Damage that the checksum does not catch because it was written over: must be refused or decoded, never crash.
TEST(Block, NonsenseUnderAValidChecksumDoesNoHarm) {
    std::mt19937 random(11);
    const auto sound = encode_block(plain_log(2500));
    Columns columns;
    int refused = 0;
    for (int round = 0; round < 3000; ++round) {
        auto bytes = sound;
        for (int i = 0; i < 3; ++i)
            bytes[random() % (round % 2 == 0 ? 120 : bytes.size())] = static_cast<std::uint8_t>(random());
        bytes[0] = 1;
        const std::uint32_t crc = crc32c(std::span(bytes).first(bytes.size() - 4));
        for (unsigned i = 0; i < 4; ++i) bytes[bytes.size() - 4 + i] = static_cast<std::uint8_t>(crc >> (8 * i));
        refused += decode_block(bytes, columns).has_value() ? 0 : 1;
    }
    EXPECT_GT(refused, 1000);
}

TEST(Block, NewerVersionIsNamed) {
    auto bytes = encode_block(plain_log(10));
    bytes[0] = 200;
    const std::uint32_t crc = crc32c(std::span(bytes).first(bytes.size() - 4));
    for (unsigned i = 0; i < 4; ++i) bytes[bytes.size() - 4 + i] = static_cast<std::uint8_t>(crc >> (8 * i));
    Columns columns;
    const auto decoded = decode_block(bytes, columns);
    ASSERT_FALSE(decoded.has_value());
    EXPECT_EQ(decoded.error(), BlockFault::unknown_version);
}

}  // namespace
}  // namespace amphora::ledger
