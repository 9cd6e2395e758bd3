#include "app/replay.hpp"

#include <gtest/gtest.h>
#include <malloc.h>

#include <algorithm>
#include <fstream>

#include "support/scratch_folder.hpp"

namespace amphora::app {
namespace {

constexpr int minutes_per_day = 1440;

std::size_t in_use() {
    const auto heap = ::mallinfo2();
    return heap.uordblks + heap.hblkhd;
}

// The most memory that was in use while a log of so many days was read.
std::size_t most_used(int days, bool hindsight) {
    const ScratchFolder folder;
    const auto log = folder.path() / "log.csv";
    std::ofstream file(log);
    file << "time_utc,current_a,voltage_v\n";
    for (int s = 0; s < days * 86'400; s += 20) file << s << ',' << s % 13 - 6 << ",13." << s % 17 + 10 << '\n';
    file.close();
    const auto before = in_use();
    std::size_t most = 0;
    const auto watch = [&most, before](auto...) { most = std::max(most, in_use() - before); };
    const auto result = replay({.log = log,
                                .estimates = folder.path() / "estimates.csv",
                                .plot = folder.path() / "plot.svg",
                                .hindsight = hindsight},
                               {}, watch);
    EXPECT_TRUE(result) << result.error().message;
    return most;
}

// The address sanitizer has an allocator of its own, which tells nothing.
#if defined(__SANITIZE_ADDRESS__)
constexpr bool memory_is_known = false;
#elif defined(__has_feature)
constexpr bool memory_is_known = !__has_feature(address_sanitizer);
#else
constexpr bool memory_is_known = true;
#endif

TEST(ReplayMemory, OfAForwardRunDoesNotGrowWithTheLog) {
    if (!memory_is_known) GTEST_SKIP();
    EXPECT_LE(most_used(40, false), most_used(2, false) + 4096);
}

TEST(ReplayMemory, OfHindsightGrowsByAtMost64BytesAMinute) {
    if (!memory_is_known) GTEST_SKIP();
    const auto grown = most_used(40, true) - most_used(2, true);
    EXPECT_LE(grown, 38U * minutes_per_day * 64U);
    EXPECT_GT(grown, 38U * minutes_per_day * 8U);  // that it is measured at all
}

}  // namespace
}  // namespace amphora::app
