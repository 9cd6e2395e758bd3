#include "io/sink/output_file.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <filesystem>
#include <fstream>
#include <iterator>

#include "support/scratch_folder.hpp"

namespace amphora::sink {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
namespace fs = std::filesystem;

std::string contents(const fs::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

std::vector<std::string> names_in(const fs::path& folder) {
    std::vector<std::string> names;
    for (const auto& entry : fs::directory_iterator(folder)) names.push_back(entry.path().filename());
    return names;
}

TEST(OutputFile, IsThereInFullOnceCommitted) {
    const ScratchFolder folder;
    auto file = OutputFile::create(folder.path() / "out.csv");
    ASSERT_TRUE(file);
    const std::string much(200'000, 'x');
    file->write("a,b\n");
    file->write(much);
    EXPECT_FALSE(fs::exists(folder.path() / "out.csv"));
    ASSERT_TRUE(file->commit());
    EXPECT_EQ(contents(folder.path() / "out.csv"), "a,b\n" + much);
    EXPECT_THAT(names_in(folder.path()), ElementsAre("out.csv"));
}

TEST(OutputFile, LeavesNothingBehindWithoutCommit) {
    const ScratchFolder folder;
    {
        auto file = OutputFile::create(folder.path() / "out.csv");
        ASSERT_TRUE(file);
        file->write(std::string(100'000, 'x'));
    }
    EXPECT_THAT(names_in(folder.path()), IsEmpty());
}

TEST(OutputFile, KeepsTheOldFileAndItsPermissionsUntilCommit) {
    const ScratchFolder folder;
    const auto path = folder.path() / "out.csv";
    std::ofstream(path) << "old";
    fs::permissions(path, fs::perms::owner_read | fs::perms::owner_write | fs::perms::group_read);
    auto file = OutputFile::create(path);
    ASSERT_TRUE(file);
    file->write("new");
    EXPECT_EQ(contents(path), "old");
    ASSERT_TRUE(file->commit());
    EXPECT_EQ(contents(path), "new");
    EXPECT_EQ(fs::status(path).permissions(), fs::perms::owner_read | fs::perms::owner_write | fs::perms::group_read);
}

TEST(OutputFile, ANewFileCanBeReadByWhomTheUmaskAllows) {
    const ScratchFolder folder;
    const auto before = ::umask(022);
    auto file = OutputFile::create(folder.path() / "out.csv");
    ::umask(before);
    ASSERT_TRUE(file && file->commit());
    EXPECT_EQ(static_cast<unsigned>(fs::status(folder.path() / "out.csv").permissions()), 0644U);
}

TEST(OutputFile, ReplacesWhatALinkLeadsTo) {
    const ScratchFolder folder;
    std::ofstream(folder.path() / "real.csv") << "old";
    fs::create_symlink("real.csv", folder.path() / "link.csv");
    auto file = OutputFile::create(folder.path() / "link.csv");
    ASSERT_TRUE(file);
    file->write("new");
    ASSERT_TRUE(file->commit());
    EXPECT_TRUE(fs::is_symlink(folder.path() / "link.csv"));
    EXPECT_EQ(contents(folder.path() / "real.csv"), "new");
}

TEST(OutputFile, ADeviceIsWrittenStraight) {
    auto file = OutputFile::create("/dev/null");
    ASSERT_TRUE(file);
    file->write("gone");
    EXPECT_TRUE(file->commit());
    EXPECT_TRUE(fs::is_character_file("/dev/null"));
}

TEST(OutputFile, WhatCannotBeCreated) {
    const auto file = OutputFile::create("/no/such/folder/out.csv");
    ASSERT_FALSE(file);
    EXPECT_EQ(file.error().fault, SinkFault::cannot_create);
    EXPECT_THAT(file.error().message, HasSubstr("/no/such/folder/out.csv: cannot be created"));
}

TEST(OutputFile, AFullDiskIsToldByCommit) {
    auto file = OutputFile::create("/dev/full");
    ASSERT_TRUE(file);
    file->write("too much");
    const auto done = file->commit();
    ASSERT_FALSE(done);
    EXPECT_EQ(done.error().fault, SinkFault::cannot_write);
    EXPECT_THAT(done.error().message, HasSubstr("/dev/full: cannot be written: No space left"));
}

}  // namespace
}  // namespace amphora::sink
