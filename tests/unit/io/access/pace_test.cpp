#include "io/access/pace.hpp"

#include <gtest/gtest.h>

namespace amphora::access {
namespace {

using std::chrono::seconds;
constexpr Pace::Time begin{std::chrono::hours(1)};

TEST(Pace, SlowsAnAddressDownMoreAndMore) {
    Pace pace;
    for (int i = 0; i < 3; ++i) EXPECT_EQ(pace.ask("10.0.0.7", begin), seconds(0));
    EXPECT_EQ(pace.ask("10.0.0.7", begin), seconds(4));
    EXPECT_EQ(pace.ask("10.0.0.7", begin + seconds(3)), seconds(1));
    Pace::Time at = begin + seconds(4);
    for (const int wait : {8, 16, 32, 64, 128, 256, 512, 900, 900}) {
        EXPECT_EQ(pace.ask("10.0.0.7", at), seconds(0));
        EXPECT_EQ(pace.wait("10.0.0.7", at), seconds(wait));
        EXPECT_EQ(pace.ask("10.0.0.7", at), seconds(wait)) << "and asking early costs nothing more";
        at += seconds(wait);
    }
    EXPECT_EQ(pace.ask("10.0.0.8", at), seconds(0)) << "another is not made to wait for it";
}

TEST(Pace, ForgetsWhenItIsRightOrLongAgo) {
    Pace pace;
    for (int i = 0; i < 3; ++i) (void)pace.ask("10.0.0.7", begin);
    pace.succeeded("10.0.0.7");
    EXPECT_EQ(pace.ask("10.0.0.7", begin), seconds(0));
    for (int i = 0; i < 2; ++i) (void)pace.ask("10.0.0.7", begin);
    EXPECT_EQ(pace.ask("10.0.0.7", begin), seconds(4));
    for (int i = 0; i < 3; ++i) EXPECT_EQ(pace.ask("10.0.0.7", begin + seconds(3700)), seconds(0));
}

TEST(Pace, LimitsAllAddressesTogether) {
    Pace pace;
    int tried = 0;
    for (int i = 0; i < 1000; ++i) tried += pace.ask("10.0.1." + std::to_string(i), begin).count() == 0 ? 1 : 0;
    EXPECT_EQ(tried, 40);
    EXPECT_EQ(pace.ask("10.0.0.7", begin + seconds(100)), seconds(500));
    EXPECT_EQ(pace.ask("10.0.0.7", begin + seconds(600)), seconds(0));
}

TEST(Pace, RightTriesAreNotHeldAgainstTheOthers) {
    Pace pace;
    for (int i = 0; i < 200; ++i) {
        EXPECT_EQ(pace.ask("10.0.0.7", begin), seconds(0));
        pace.succeeded("10.0.0.7");
    }
}

TEST(Pace, RemembersNoMoreThanItMay) {
    Pace pace(PaceRules{.all_tries = 1'000'000, .addresses = 8});
    for (int i = 0; i < 1000; ++i) (void)pace.ask("10.0.1." + std::to_string(i), begin + seconds(i));
    EXPECT_EQ(pace.remembered(), 8U);
}

}  // namespace
}  // namespace amphora::access
