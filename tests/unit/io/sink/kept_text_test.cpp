#include "io/sink/kept_text.hpp"

#include <gtest/gtest.h>
#include <sys/mount.h>
#include <unistd.h>

#include <csignal>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "support/scratch_folder.hpp"

namespace amphora::sink {
namespace {

using namespace std::chrono_literals;

std::vector<std::string> lines_of(const std::filesystem::path& file) {
    std::ifstream in(file);
    std::vector<std::string> lines;
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    return lines;
}

TEST(KeptText, TheNewestIsTheLastLine) {
    const ScratchFolder folder;
    const auto file = folder.path() / "state";
    std::ofstream(file) << "what an earlier run left";
    KeptText text(file);
    for (int i = 0; i < 100; ++i) {
        text.put("version " + std::to_string(i));
        EXPECT_TRUE(text.wait(10s));
        EXPECT_EQ(lines_of(file).back(), "version " + std::to_string(i));
    }
    EXPECT_EQ(lines_of(file).front(), "version 0") << "begun anew";
}

TEST(KeptText, TheFileDoesNotGrowWithoutEnd) {
    const ScratchFolder folder;
    const auto file = folder.path() / "state";
    KeptText text(file);
    for (int i = 0; i < 50; ++i) {
        text.put(std::string(10'000, 'x') + std::to_string(i));
        EXPECT_TRUE(text.wait(10s));
        EXPECT_LE(std::filesystem::file_size(file), 128U << 10);
    }
    text.put(std::string(1'000'000, 'y'));
    EXPECT_TRUE(text.wait(10s)) << "also what is larger than the room";
    EXPECT_EQ(lines_of(file), std::vector{std::string(1'000'000, 'y')});
}

TEST(KeptText, WhatWasPutOutlastsAKillRightAfterwards) {
    const ScratchFolder folder;
    const auto file = folder.path() / "state";
    EXPECT_EXIT(
        {
            KeptText text(file);
            text.put("first");
            (void)text.wait(10s);
            text.put("second");
            (void)text.wait_written(10s);
            ::kill(::getpid(), SIGKILL);
        },
        testing::KilledBySignal(SIGKILL), "");
    EXPECT_EQ(lines_of(file).back(), "second");
}

TEST(KeptText, WhatCannotBeWrittenIsNotWaitedForLongAndTriedAgain) {
    const ScratchFolder folder;
    const auto file = folder.path() / "later" / "state";
    KeptText text(file);
    text.put("version");
    const auto begun = std::chrono::steady_clock::now();
    EXPECT_FALSE(text.wait(20ms));
    EXPECT_LT(std::chrono::steady_clock::now() - begun, 5s);
    std::filesystem::create_directory(folder.path() / "later");
    EXPECT_TRUE(text.wait(10s));
    EXPECT_EQ(lines_of(file), std::vector<std::string>{"version"});
}

TEST(KeptText, HasRoomOfItsOwnOnAFullDisk) {
    const ScratchFolder folder;
    if (::geteuid() != 0 || ::mount("tmpfs", folder.path().c_str(), "tmpfs", 0, "size=1m") != 0)
        GTEST_SKIP() << "no file system can be mounted here";
    {
        KeptText text(folder.path() / "state");
        text.put("before");
        EXPECT_TRUE(text.wait(10s));
        std::ofstream filler(folder.path() / "filler", std::ios::binary);
        while (filler << std::string(4096, 'x') << std::flush) {
        }
        for (int i = 0; i < 20; ++i) {
            text.put(std::string(4000, 'x') + std::to_string(i));
            EXPECT_TRUE(text.wait(10s)) << i;
        }
        EXPECT_TRUE(lines_of(folder.path() / "state").back().ends_with("x19"));
    }
    ::umount2(folder.path().c_str(), MNT_DETACH);
}

}  // namespace
}  // namespace amphora::sink
