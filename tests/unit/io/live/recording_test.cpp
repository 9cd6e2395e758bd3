#include "io/live/recording.hpp"

#include <gtest/gtest.h>

#include <thread>

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

}  // namespace
}  // namespace amphora::live
