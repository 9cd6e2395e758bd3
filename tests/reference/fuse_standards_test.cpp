// DIN 72581-3 form E time windows (large blade fuses, 20 to 80 A) and NEC 240.6(A) standard ratings, both read in
// secondary copies.
#include <gtest/gtest.h>

#include <algorithm>
#include <vector>

#include "core/design/fuse.hpp"

namespace amphora::design {
namespace {

TEST(FuseStandards, LargeBladeWindows) {
    const auto times = opening_times(FuseKind::blade_maxi);
    ASSERT_EQ(times.size(), 3U);
    EXPECT_EQ(times[0].multiple, 1.35);
    EXPECT_EQ(times[0].earliest, Second(60));
    EXPECT_EQ(times[0].latest, Second(1800));
    EXPECT_EQ(times[1].earliest, Second(2));
    EXPECT_EQ(times[1].latest, Second(60));
    EXPECT_EQ(times[2].earliest, Second(0.2));
    EXPECT_EQ(times[2].latest, Second(7));
    EXPECT_NEAR(times[0].multiple * 60, 80, 1.1) << "the printed test point of the 60 A fuse";
}

/// ISO 8820-3 at 1.35 times the rating, read in a secondary copy: 0.75 to 1800 s. The other points are from memory.
TEST(FuseStandards, BladeWindow) {
    const OpeningTime first = opening_times(FuseKind::blade)[0];
    EXPECT_EQ(first.multiple, 1.35);
    EXPECT_EQ(first.earliest, Second(0.75));
    EXPECT_EQ(first.latest, Second(1800));
}

/// Read in secondary copies: the ratings of large blade fuses (DIN 72581-3), and those of NEC 240.6(A), which fuses of
/// UL class T follow.
TEST(FuseStandards, StockSizesThatWereRead) {
    std::vector<double> large(data(FuseKind::blade_maxi).ratings.begin(), data(FuseKind::blade_maxi).ratings.end());
    EXPECT_EQ(large, (std::vector<double>{20, 30, 40, 50, 60, 70, 80}));
    for (const double r : data(FuseKind::class_t).ratings) {
        if (r == 160.0 || r > 600.0) continue;  // not in that list; from memory
        EXPECT_NE(std::ranges::find(nec_ratings(), r), nec_ratings().end()) << r;
    }
}

TEST(FuseStandards, WindowsNarrowAsTheCurrentGrows) {
    for (const FuseKindData& kind : fuse_kinds()) {
        const auto times = opening_times(kind.kind);
        for (std::size_t i = 1; i < times.size(); ++i) {
            EXPECT_GT(times[i].multiple, times[i - 1].multiple);
            EXPECT_LT(times[i].latest, times[i - 1].latest);
            EXPECT_LT(times[i].earliest, times[i].latest);
        }
    }
}

TEST(FuseStandards, RatingsThatDoNotExist) {
    for (const double trap : {55.0, 65.0, 85.0}) {
        EXPECT_EQ(std::ranges::find(nec_ratings(), trap), nec_ratings().end());
    }
    EXPECT_EQ(*std::ranges::find_if(nec_ratings(), [](double r) { return r >= 15.625; }), 20.0)
        << "10 A short-circuit current x 1.5625 (NEC 690.8) takes a 20 A fuse";
}

TEST(FuseStandards, LoadOfEightyPercent) {
    EXPECT_EQ(next_rating(FuseKind::blade, Ampere(12.0 / continuous_share)), Ampere(15));
    EXPECT_FALSE(next_rating(FuseKind::blade, Ampere(41)));
    EXPECT_EQ(rating_below(FuseKind::sf51, Ampere(330)), Ampere(300));
}

}  // namespace
}  // namespace amphora::design
