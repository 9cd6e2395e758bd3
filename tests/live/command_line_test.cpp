#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "live/program.hpp"

namespace amphora::live {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;
using testing::MatchesRegex;

TEST(CommandLine, AloneItShowsTheHelp) {
    const auto ran = run_amphora({});
    EXPECT_EQ(ran.exit_code, 0);
    EXPECT_THAT(ran.out, HasSubstr("Usage: amphora"));
    EXPECT_THAT(ran.err, IsEmpty());
}

TEST(CommandLine, Version) {
    const auto ran = run_amphora({"--version"});
    EXPECT_EQ(ran.exit_code, 0);
    EXPECT_THAT(ran.out, MatchesRegex("amphora [0-9]+\\.[0-9]+\\.[0-9]+\n"));
}

TEST(CommandLine, AMisspeltOptionIsAUsageErrorWithASuggestion) {
    const auto ran = run_amphora({"--versoin"});
    EXPECT_EQ(ran.exit_code, 64);
    EXPECT_THAT(ran.err, HasSubstr("there is no option \"--versoin\"; did you mean \"--version\"?"));
    EXPECT_THAT(ran.out, IsEmpty());
}

TEST(CommandLine, AnUnknownCommandIsAUsageError) {
    const auto ran = run_amphora({"fly"});
    EXPECT_EQ(ran.exit_code, 64);
    EXPECT_THAT(ran.err, HasSubstr("there is no command \"fly\""));
    EXPECT_THAT(ran.out, IsEmpty());
}

}  // namespace
}  // namespace amphora::live
