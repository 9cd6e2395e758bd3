#include "core/ledger/column.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>
#include <vector>

#include "core/ledger/frequencies.hpp"

namespace amphora::ledger {
namespace {

std::size_t expect_round_trip(const std::vector<std::int64_t>& values) {
    ByteWriter out;
    encode_column(out, values);
    ByteReader in(out.bytes());
    std::vector<std::int64_t> back(values.size());
    EXPECT_TRUE(decode_column(in, back));
    EXPECT_EQ(in.left(), 0U);
    EXPECT_EQ(back, values);
    return out.bytes().size();
}

TEST(Column, ConstantValuesTakeNextToNothing) {
    EXPECT_LT(expect_round_trip(std::vector<std::int64_t>(32768, 1327)), 80U);
}

TEST(Column, ExtremesComeBack) {
    constexpr auto low = std::numeric_limits<std::int64_t>::min();
    constexpr auto high = std::numeric_limits<std::int64_t>::max();
    expect_round_trip({low, high, 0, -1, high, low, 1});
    expect_round_trip({0, mean_value_limit - 1, -(mean_value_limit - 1), 0, 5});
    expect_round_trip({0, mean_value_limit, -mean_value_limit});
}

TEST(Column, RandomWalksOfEveryWidthComeBack) {
    std::mt19937_64 random(5);
    for (unsigned width = 1; width < 62; ++width) {
        std::vector<std::int64_t> values(3000);
        std::uint64_t level = 0;
        for (auto& v : values)
            v = static_cast<std::int64_t>(level += (random() >> (64 - width)) - (std::uint64_t{1} << (width - 1)));
        EXPECT_LT(expect_round_trip(values), 3000 * (width + 2) / 8 + 600) << width;
    }
}

/// Gaussian noise of s steps around a level holds log2(s sqrt(2 pi e)) bits a value (Cover and Thomas, Elements of
/// Information Theory, chapter 8); the column must come within 4 % of that.
TEST(Column, NoiseAroundALevelCostsItsEntropy) {
    std::mt19937 random(9);
    for (const double sd : {2.0, 10.0, 300.0}) {
        std::normal_distribution<double> noise(50000.0, sd);
        std::vector<std::int64_t> values(32768);
        for (auto& v : values) v = std::llround(noise(random));
        const double bits = static_cast<double>(expect_round_trip(values)) * 8.0 / 32768.0;
        EXPECT_LT(bits / std::log2(sd * std::sqrt(2.0 * 3.14159265358979 * 2.71828182845905)), 1.04) << sd;
    }
}

TEST(Frequencies, AddUpExactlyAndKeepEverySymbol) {
    std::mt19937 random(2);
    for (int round = 0; round < 200; ++round) {
        Counts counts{};
        for (auto& c : counts) c = random() % 3 == 0 ? static_cast<std::uint32_t>(random() >> random() % 32) : 0;
        counts[3] = 1;
        const Frequencies f = normalise(counts, 10);
        unsigned sum = 0;
        for (std::size_t s = 0; s < symbol_count; ++s) {
            sum += f.share[s];
            EXPECT_EQ(f.share[s] != 0, counts[s] != 0);
        }
        EXPECT_EQ(sum, 1024U);
    }
}

}  // namespace
}  // namespace amphora::ledger
