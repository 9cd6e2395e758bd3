#include "io/sink/errands.hpp"

#include <gtest/gtest.h>

#include <atomic>

#include "support/soon.hpp"

namespace amphora::sink {
namespace {

using namespace std::chrono_literals;
constexpr ErrandPauses quick{.first = 5ms, .longest = 20ms};

std::unexpected<ErrandFailure> failure(bool again) { return std::unexpected(ErrandFailure{"no luck", again}); }

TEST(Errands, AreDoneInTurn) {
    Errands errands(10, quick);
    std::string order;
    for (const char c : {'a', 'b', 'c'})
        errands.add([&order, c](const auto&) -> std::expected<void, ErrandFailure> {
            order += c;
            return {};
        });
    ASSERT_TRUE(soon([&] { return errands.counts().done == 3; }));
    EXPECT_EQ(order, "abc");
}

TEST(Errands, AreTriedAgainWhenThatMayHelp) {
    Errands errands(10, quick);
    std::atomic<int> attempts = 0;
    errands.add([&](const auto&) -> std::expected<void, ErrandFailure> {
        if (++attempts < 4) return failure(true);
        return {};
    });
    ASSERT_TRUE(soon([&] { return errands.counts().done == 1; }));
    EXPECT_EQ(attempts, 4);
    EXPECT_EQ(errands.counts().attempts_failed, 3U);
    EXPECT_EQ(errands.counts().trouble, "");
}

TEST(Errands, AreGivenUpWhenItCannot) {
    Errands errands(10, quick);
    std::atomic<int> attempts = 0;
    errands.add([&](const auto&) -> std::expected<void, ErrandFailure> {
        ++attempts;
        return failure(false);
    });
    ASSERT_TRUE(soon([&] { return errands.counts().given_up == 1; }));
    EXPECT_EQ(attempts, 1);
    EXPECT_EQ(errands.counts().trouble, "no luck");
}

TEST(Errands, TooManyPushOutTheOldestAndNobodyWaits) {
    std::atomic<bool> stuck = true;
    std::atomic<int> last = -1;
    Errands errands(3, quick);
    errands.add([&](const std::stop_token& stop) -> std::expected<void, ErrandFailure> {
        while (stuck && !stop.stop_requested()) std::this_thread::sleep_for(1ms);
        return {};
    });
    ASSERT_TRUE(soon([&] { return errands.counts().waiting == 0; }));
    const auto before = std::chrono::steady_clock::now();
    for (int i = 0; i < 100; ++i)
        errands.add([&last, i](const auto&) -> std::expected<void, ErrandFailure> {
            last = i;
            return {};
        });
    EXPECT_LT(std::chrono::steady_clock::now() - before, 1s);
    EXPECT_EQ(errands.counts().dropped, 97U);
    stuck = false;
    ASSERT_TRUE(soon([&] { return errands.counts().done == 4; }));
    EXPECT_EQ(last, 99);
}

TEST(Errands, TheEndDoesNotWaitForALongPause) {
    const auto before = std::chrono::steady_clock::now();
    {
        Errands errands(3, {.first = 1h, .longest = 1h});
        errands.add([](const auto&) -> std::expected<void, ErrandFailure> { return failure(true); });
        ASSERT_TRUE(soon([&] { return errands.counts().attempts_failed == 1; }));
    }
    EXPECT_LT(std::chrono::steady_clock::now() - before, 10s);
}

}  // namespace
}  // namespace amphora::sink
