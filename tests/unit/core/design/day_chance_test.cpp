#include "core/design/day_chance.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "core/design/draws.hpp"
#include "core/sun/day.hpp"

namespace amphora::design {
namespace {

/// Dull and bright spells of some days; each day's warmth is its number.
YearTables spells() {
    YearTables t;
    for (int d = 0; d < days_per_year; ++d) t.month[static_cast<std::size_t>(d)] = sun::month_of_day(d + 1);
    for (int m = 0; m < 12; ++m) {
        for (int d = 0; d < sun::days_in_month(m); ++d) {
            const auto wave = static_cast<float>(std::sin(d * 0.7) + 0.5 * std::sin(d * 2.9 + m));
            t.file_days[static_cast<std::size_t>(m)].push_back(
                {0.4F + 0.15F * wave, 0.6F, static_cast<float>(100 * m + d)});
        }
    }
    return t;
}

struct Moments {
    double mean = 0.0;
    double next = 0.0;  // correlation with the next day
};

Moments moments(const std::vector<std::vector<double>>& series) {
    double sum = 0.0;
    double n = 0.0;
    for (const auto& s : series) {
        for (const double x : s) sum += x;
        n += static_cast<double>(s.size());
    }
    Moments out{sum / n, 0.0};
    double together = 0.0;
    double pairs = 0.0;
    double alone = 0.0;
    for (const auto& s : series) {
        for (std::size_t i = 0; i < s.size(); ++i) alone += (s[i] - out.mean) * (s[i] - out.mean);
        for (std::size_t i = 0; i + 1 < s.size(); ++i) together += (s[i] - out.mean) * (s[i + 1] - out.mean);
        pairs += static_cast<double>(s.size() - 1);
    }
    out.next = together / pairs / (alone / n);
    return out;
}

/// One January of many draws.
std::vector<std::vector<double>> januaries(const YearTables& t, const Chances& c) {
    std::vector<std::vector<double>> all;
    for (std::uint64_t block = 0; block < 200; ++block) {
        ChanceMemory memory;
        DayChance today;
        std::vector<std::vector<double>> lane(lanes);
        for (int d = 0; d < 31; ++d) {
            draw_day(t, c, mixed(static_cast<std::uint64_t>(d)), block * lanes, d, memory, today);
            for (std::size_t l = 0; l < lanes; ++l) lane[l].push_back(static_cast<double>(today.clearness[l]));
        }
        all.insert(all.end(), lane.begin(), lane.end());
    }
    return all;
}

/// Politis and Romano, J. Am. Stat. Assoc. 89 (1994) 1303: runs of geometric length from a ring keep the mean, and
/// 1 - 1/length of the correlation of one day with the next on the ring.
TEST(DayChance, RunsOfAFilesDaysKeepMeanAndPersistence) {
    const YearTables t = spells();
    std::vector<double> ring;
    for (const FileDay& d : t.file_days[0]) ring.push_back(static_cast<double>(d.clearness));
    ring.push_back(ring.front());
    double mean = 0.0;
    for (std::size_t i = 0; i + 1 < ring.size(); ++i) mean += ring[i] / 31.0;
    double together = 0.0;
    double alone = 0.0;
    for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
        together += (ring[i] - mean) * (ring[i + 1] - mean);
        alone += (ring[i] - mean) * (ring[i] - mean);
    }
    ASSERT_GT(together / alone, 0.4) << "the made-up days have spells";
    for (const float length : {2.0F, 4.0F, 10.0F}) {
        const Moments drawn = moments(januaries(t, {.run_days = length}));
        EXPECT_NEAR(drawn.mean, mean, 0.003);
        EXPECT_NEAR(drawn.next, (1.0 - 1.0 / static_cast<double>(length)) * together / alone, 0.02) << length;
    }
}

TEST(DayChance, AFilesDayComesWholeAndInItsMonth) {
    const YearTables t = spells();
    ChanceMemory memory;
    DayChance today;
    for (int d = 0; d < days_per_year; ++d) {
        draw_day(t, {}, mixed(static_cast<std::uint64_t>(d)), 0, d, memory, today);
        const auto& month = t.file_days[static_cast<std::size_t>(t.month[static_cast<std::size_t>(d)])];
        for (std::size_t l = 0; l < lanes; ++l) {
            const int number = static_cast<int>(today.warmer[l]);
            ASSERT_EQ(number / 100, t.month[static_cast<std::size_t>(d)]);
            EXPECT_EQ(today.clearness[l], month.at(static_cast<std::size_t>(number % 100)).clearness);
        }
    }
}

TEST(DayChance, TheSameKeyDrawsTheSameDay) {
    const YearTables t = spells();
    ChanceMemory one;
    ChanceMemory two;
    DayChance a;
    DayChance b;
    draw_day(t, {}, 7, 64, 40, one, a);
    draw_day(t, {}, 7, 64, 40, two, b);
    EXPECT_TRUE(std::ranges::equal(a.warmer, b.warmer));
    draw_day(t, {}, 7, 128, 40, two, b);
    EXPECT_FALSE(std::ranges::equal(a.use, b.use));
}

}  // namespace
}  // namespace amphora::design
