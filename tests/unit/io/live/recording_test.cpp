#include "io/live/recording.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/mount.h>
#include <unistd.h>

#include <fstream>
#include <thread>

#include "io/record/reader.hpp"
#include "support/scratch_folder.hpp"

namespace amphora::live {
namespace {

using namespace std::chrono_literals;

TEST(Recording, ALoneReadingIsSafeAfterTheDurabilityInterval) {
    const ScratchFolder folder;
    record::WriterOptions options;
    options.durability = Second(0.2);
    const auto recording = Recording::open(folder.path() / "van.amphora", options, "boot", BootPlace{});
    ASSERT_TRUE(recording);
    (*recording)->append({Instant{1'780'000'000'000'000}, Ampere(-4), Volt(13.2), Celsius::missing()});
    for (int i = 0; i < 1000 && (*recording)->health().safe == 0; ++i) std::this_thread::sleep_for(10ms);
    EXPECT_EQ((*recording)->health().taken, 1U);
    EXPECT_EQ((*recording)->health().safe, 1U) << "no reading came after it, as when the meter is unplugged";
}

// At sixty times the speed of time a minute of the rehearsal's is a second of ours, also while the meter is unplugged.
TEST(Recording, TheIntervalIsThatOfTheRecordersClock) {
    const ScratchFolder folder;
    record::WriterOptions options;
    options.durability = Second(60);
    const auto recording = Recording::open(folder.path() / "van.amphora", options, "boot", BootPlace{}, 200ms);
    ASSERT_TRUE(recording);
    (*recording)->append({Instant{1'780'000'000'000'000}, Ampere(-4), Volt(13.2), Celsius::missing()});
    for (int i = 0; i < 500 && (*recording)->health().safe == 0; ++i) std::this_thread::sleep_for(10ms);
    EXPECT_EQ((*recording)->health().safe, 1U);
}

/// A file system of its own that is as small as it is said; skipped, aloud, where none may be made.
class SmallDisk : public testing::Test {
protected:
    void SetUp() override {
        if (::geteuid() != 0 || ::mount("tmpfs", folder_.path().c_str(), "tmpfs", 0, "size=24m") != 0)
            GTEST_SKIP() << "no file system can be mounted here";
        mounted_ = true;
    }
    void TearDown() override {
        if (mounted_) ::umount2(folder_.path().c_str(), MNT_DETACH);
    }
    void fill() const {
        std::ofstream filler(folder_.path() / "filler", std::ios::binary);
        while (filler << std::string(4096, 'x') << std::flush) {
        }
    }
    void make_room() const { std::filesystem::remove(folder_.path() / "filler"); }

    ScratchFolder folder_;
    bool mounted_ = false;
};

// What protects must come up whatever the disk says: a start on a full one measures, and keeps all in memory.
TEST_F(SmallDisk, AStartOnAFullDiskKeepsReadingsUntilThereIsRoom) {
    record::WriterOptions options;
    options.durability = Second(0.1);
    const auto file = folder_.path() / "van.amphora";
    fill();
    const auto opened = Recording::open(file, options, "boot", BootPlace{});
    ASSERT_TRUE(opened) << opened.error().message;
    Recording& recording = **opened;
    EXPECT_FALSE(recording.health().open);
    EXPECT_NE(recording.health().trouble, "");
    constexpr int given = 20;
    for (int i = 0; i < given; ++i)
        recording.append({Instant{(1'780'000'000LL + i) * 1'000'000}, Ampere(-4), Volt(13.2), Celsius(20)});
    std::this_thread::sleep_for(1200ms);
    EXPECT_FALSE(recording.health().open);
    make_room();
    for (int i = 0; i < 500 && recording.health().safe < given; ++i) std::this_thread::sleep_for(10ms);
    EXPECT_TRUE(recording.health().open);
    EXPECT_EQ(recording.health().safe, given);
    EXPECT_EQ(recording.health().trouble, "");
    const auto reader = record::Reader::open(file);
    ASSERT_TRUE(reader);
    EXPECT_EQ(reader->count(), given);
}

// A damaged record must not keep the guards from starting: what is read waits in memory for the saved one.
TEST(Recording, AStartOnADamagedRecordKeepsReadingsUntilASavedOneLiesThere) {
    const ScratchFolder folder;
    const auto file = folder.path() / "van.amphora", saved = folder.path() / "saved.amphora";
    record::WriterOptions options;
    options.durability = Second(0.1);
    {
        auto writer = record::Writer::open(file, options);
        ASSERT_TRUE(writer);
        ASSERT_TRUE(writer->close());
    }
    std::filesystem::copy_file(file, saved);
    {
        std::fstream bytes(file, std::ios::binary | std::ios::in | std::ios::out);
        bytes.seekp(100);
        bytes << std::string(3000, '#');
    }
    const auto opened = Recording::open(file, options, "boot", BootPlace{});
    ASSERT_TRUE(opened) << opened.error().message;
    Recording& recording = **opened;
    EXPECT_FALSE(recording.health().open);
    EXPECT_THAT(recording.health().trouble, testing::HasSubstr("until the saved one lies in its place"));
    constexpr int given = 20;
    for (int i = 0; i < given; ++i)
        recording.append({Instant{(1'780'000'000LL + i) * 1'000'000}, Ampere(-4), Volt(13.2), Celsius(20)});
    std::filesystem::rename(saved, file);
    for (int i = 0; i < 500 && recording.health().safe < given; ++i) std::this_thread::sleep_for(10ms);
    EXPECT_EQ(recording.health().safe, given);
    EXPECT_EQ(recording.health().trouble, "");
}

// Another program that writes to it is no matter of waiting.
TEST(Recording, TwoAtOnceAreRefused) {
    const ScratchFolder folder;
    const auto file = folder.path() / "van.amphora";
    const auto first = Recording::open(file, {}, "boot", BootPlace{});
    ASSERT_TRUE(first);
    const auto second = Recording::open(file, {}, "boot", BootPlace{});
    ASSERT_FALSE(second);
    EXPECT_EQ(second.error().fault, record::Fault::busy);
}

TEST_F(SmallDisk, AFullDiskIsToldAndHoldsUpNoReading) {
    record::WriterOptions options;
    options.durability = Second(0.1);
    const auto opened = Recording::open(folder_.path() / "van.amphora", options, "boot", BootPlace{});
    ASSERT_TRUE(opened);
    Recording& recording = **opened;
    std::int64_t second = 0;
    const auto until = [&](auto so) {
        for (int i = 0; i < 500 && !so(); ++i) {
            recording.append({Instant{(1'780'000'000 + second++) * 1'000'000}, Ampere(-4), Volt(13.2), Celsius(20)});
            std::this_thread::sleep_for(10ms);
        }
        return so();
    };
    EXPECT_TRUE(until([&] { return recording.health().safe > 10; }));
    EXPECT_EQ(recording.health().trouble, "");
    fill();
    recording.keep({.at_us = 1'780'000'000'000'000, .kind = "tripped", .guard = "low"});
    EXPECT_TRUE(until([&] { return recording.health().trouble.find("the disk is nearly full: ") == 0; }))
        << recording.health().trouble;
    const auto before = recording.health().taken;
    EXPECT_TRUE(until([&] { return recording.health().safe > before; }))
        << "the newest readings have room of their own";
    EXPECT_NE(recording.health().trouble, "") << "it stands as long as the disk is full";
    make_room();
    EXPECT_TRUE(until([&] { return recording.health().trouble.empty(); })) << recording.health().trouble;
    std::this_thread::sleep_for(1500ms);
    const auto acts = record::Reader::open(folder_.path() / "van.amphora").value().acts({0, INT64_MAX}, 10).value();
    ASSERT_EQ(acts.size(), 1U) << "what the guard did was kept once there was room";
    EXPECT_EQ(acts[0].guard, "low");
}

}  // namespace
}  // namespace amphora::live
