#include "app/usage_words.hpp"

#include <gtest/gtest.h>

namespace amphora::app {
namespace {

TEST(UsageWords, NameWhatMayStandThere) {
    EXPECT_EQ(usage_words("--by: decade not in {day,week,month}"), "--by takes day, week or month, not \"decade\"");
    EXPECT_EQ(usage_words("ACTION: x not in {show}"), "ACTION takes show, not \"x\"");
    EXPECT_EQ(usage_words("--speed: Value fast not in range 0.100000 to 100000.000000"),
              "--speed takes a number from 0.1 to 100000, not \"fast\"");
    EXPECT_EQ(usage_words("--years: Value -1 not in range 1 to 50"), "--years takes a number from 1 to 50, not \"-1\"");
}

TEST(UsageWords, LeaveOtherSentencesAlone) {
    for (const auto* sentence : {"LOG is required", "--plot: File does not exist: x", "a: b not in range c"})
        EXPECT_EQ(usage_words(sentence), sentence);
}

}  // namespace
}  // namespace amphora::app
