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

TEST(CommandLine, APortThatCannotBeIsSaidSo) {
    for (const auto& words : {std::vector<std::string>{"serve", "van.toml", "--port", "99999"},
                              {"page", "--system", "van.toml", "--port", "-1"}}) {
        const auto ran = run_amphora(words);
        EXPECT_EQ(ran.exit_code, 64) << words[0];
        EXPECT_THAT(ran.err, HasSubstr("expected a port from 1 to 65535, found \"" + words.back() + "\"")) << words[0];
    }
}

TEST(CommandLine, HelpNamesTheDescriptionAndEndsWithoutAnEmptyLine) {
    const auto serve = run_amphora({"serve", "--help"});
    EXPECT_THAT(serve.out, HasSubstr("amphora serve [options] SYSTEM.toml"));
    for (const auto* command : {"serve", "record"}) {
        const auto help = run_amphora({command, "--help"}).out;
        EXPECT_TRUE(help.ends_with('\n') && !help.ends_with("\n\n")) << command;
    }
}

TEST(CommandLine, AnUnknownCommandIsAUsageError) {
    const auto ran = run_amphora({"fly"});
    EXPECT_EQ(ran.exit_code, 64);
    EXPECT_THAT(ran.err, HasSubstr("there is no command \"fly\""));
    EXPECT_THAT(ran.out, IsEmpty());
}

}  // namespace
}  // namespace amphora::live
