#include "io/sink/program_run.hpp"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <iterator>

#include "support/scratch_folder.hpp"

namespace amphora::sink {
namespace {

using namespace std::chrono_literals;

std::string text_of(const std::filesystem::path& file) {
    std::ifstream in(file);
    return {std::istreambuf_iterator<char>(in), {}};
}

TEST(ProgramRun, GetsItsArgumentsAsTheyAre) {
    const ScratchFolder folder;
    const auto file = (folder.path() / "seen").string();
    const auto done = run({{"/bin/sh", "-c", "printf '%s|%s|%s' \"$0\" \"$1\" \"$AMPHORA_GUARD\" > " + file,
                            "a b; rm -rf x", "$HOME `id`"},
                           {{"AMPHORA_GUARD", "low \"voltage\""}}},
                          {});
    ASSERT_TRUE(done) << done.error().why;
    EXPECT_EQ(text_of(file), "a b; rm -rf x|$HOME `id`|low \"voltage\"") << "no shell looked at the words";
}

TEST(ProgramRun, InheritsNothingOfOurs) {
    const ScratchFolder folder;
    const auto file = (folder.path() / "seen").string();
    ASSERT_TRUE(run({{"/bin/sh", "-c", "{ env; ls /proc/self/fd; } > " + file}, {}}, {}));
    const auto seen = text_of(file);
    EXPECT_EQ(seen.find("HOME="), std::string::npos);
    EXPECT_NE(seen.find("PATH=/usr/local/bin:/usr/bin:/bin"), std::string::npos);
}

TEST(ProgramRun, IsEndedWithAllItStartedWhenItTakesTooLong) {
    const ScratchFolder folder;
    const auto file = folder.path() / "late";
    const auto before = std::chrono::steady_clock::now();
    const auto done = run({{"/bin/sh", "-c", "(sleep 2; touch " + file.string() + ") & sleep 100"}, {}, 300ms}, {});
    EXPECT_LT(std::chrono::steady_clock::now() - before, 2s);
    ASSERT_FALSE(done);
    EXPECT_NE(done.error().why.find("took longer than 300 ms"), std::string::npos) << done.error().why;
    EXPECT_FALSE(done.error().again);
    std::this_thread::sleep_for(2200ms);
    EXPECT_FALSE(std::filesystem::exists(file)) << "the child of the child went with it";
}

TEST(ProgramRun, FailuresAreTold) {
    const auto ended = run({{"/bin/sh", "-c", "exit 3"}, {}}, {});
    ASSERT_FALSE(ended);
    EXPECT_EQ(ended.error().why, "/bin/sh ended with exit code 3");
    const auto none = run({{"/nowhere/horn"}, {}}, {});
    ASSERT_FALSE(none);
    EXPECT_NE(none.error().why.find("cannot be started"), std::string::npos);
}

TEST(ProgramRun, AStopEndsIt) {
    std::stop_source stop;
    std::jthread later([&] {
        std::this_thread::sleep_for(100ms);
        stop.request_stop();
    });
    const auto before = std::chrono::steady_clock::now();
    EXPECT_FALSE(run({{"/bin/sleep", "100"}, {}, 1h}, stop.get_token()));
    EXPECT_LT(std::chrono::steady_clock::now() - before, 5s);
}

}  // namespace
}  // namespace amphora::sink
