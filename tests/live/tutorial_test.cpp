// The tutorial's walk, word for word: what it shows is what the program says.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <iterator>

#include "live/program.hpp"
#include "support/scratch_folder.hpp"

namespace amphora::live {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

TEST(Tutorial, ShowsWhatTheProgramSays) {
    std::ifstream page(AMPHORA_SOURCE_DIR "/docs/tutorial.md");
    const std::string text{std::istreambuf_iterator<char>(page), {}};
    const auto begin = text.find("```\nWhere it stands") + 4;
    const auto shown = text.substr(begin, text.find("```", begin) - begin);
    ASSERT_THAT(shown, HasSubstr("above the reserve"));

    const ScratchFolder folder;
    const auto files = folder.path() / "try";
    const auto made =
        run_amphora({"demo", "--years", "0.04", "--until", "2026-04-20T08:00:00Z", "--files", files.string()});
    ASSERT_EQ(made.exit_code, 0) << made.err;
    const auto ran =
        run_amphora({"replay", "--system", (files / "SYSTEM.toml").string(), (files / "LOG.csv").string()});
    EXPECT_EQ(ran.exit_code, 0);
    EXPECT_THAT(ran.out, HasSubstr(shown));

    const auto again = run_amphora({"demo", "--years", "0.04", "--files", files.string()});
    EXPECT_EQ(again.exit_code, 73) << "nothing is overwritten";
    EXPECT_THAT(again.err, HasSubstr("SYSTEM.toml: is there already"));
}

TEST(Plan, WithoutAnApplianceThereIsNothingToReckonWith) {
    const ScratchFolder folder;
    const auto file = (folder.path() / "van.toml").string();
    std::ofstream(file) << "[battery]\nchemistry = \"lfp\"\ndesign_capacity_ah = 100\n";
    for (const auto* command : {"size", "budget", "simulate"}) {
        const auto ran = run_amphora({command, file});
        EXPECT_EQ(ran.exit_code, 78) << command;
        EXPECT_THAT(ran.out, IsEmpty()) << command;
        EXPECT_THAT(ran.err, HasSubstr("describe at least one [[appliance]]")) << command;
    }
    const auto written = run_amphora({"size", "--write", file});
    EXPECT_EQ(written.exit_code, 78);
    EXPECT_THAT(written.err, HasSubstr("nothing to wire"));
}

}  // namespace
}  // namespace amphora::live
