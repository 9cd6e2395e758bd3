#include "io/web/event_channel.hpp"

#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace {

using namespace amphora::web;

std::vector<std::string> all(Listener& listener) {
    std::vector<std::string> frames;
    while (const Frame frame = listener.take()) frames.push_back(*frame);
    return frames;
}

void nobody() {}

TEST(EventChannel, WritesFramesAsTheStandardSays) {
    EventChannel channel("r");
    Listener listener(8, nobody);
    channel.join(listener, "");
    EXPECT_TRUE(all(listener).empty());
    channel.publish("now", "{}");
    channel.heartbeat();
    EXPECT_EQ(all(listener), (std::vector<std::string>{"id: r-1\nevent: now\ndata: {}\n\n", ": still here\n\n"}));
}

TEST(EventChannel, ANewcomerGetsTheNewest) {
    EventChannel channel("r");
    channel.publish("now", "1");
    channel.publish("now", "2");
    Listener listener(8, nobody);
    channel.join(listener, "");
    EXPECT_EQ(all(listener), std::vector<std::string>{"id: r-2\nevent: now\ndata: 2\n\n"});
}

TEST(EventChannel, WhoComesBackGetsWhatItMissed) {
    EventChannel channel("r", 3);
    for (int i = 1; i <= 5; ++i) channel.publish("now", std::to_string(i));
    const auto resumed = [&](std::string_view id) {
        Listener listener(8, nobody);
        channel.join(listener, id);
        const auto frames = all(listener);
        channel.leave(listener);
        return frames.size();
    };
    EXPECT_EQ(resumed("r-5"), 0U);
    EXPECT_EQ(resumed("r-4"), 1U);
    EXPECT_EQ(resumed("r-2"), 3U);
    EXPECT_EQ(resumed("r-1"), 1U) << "not kept any more: the newest alone";
    for (const char* id : {"r-6", "q-4", "r-", "r-4x", "r4", "-4", "r-18446744073709551616", "r--1"}) {
        EXPECT_EQ(resumed(id), 1U) << id;
    }
}

TEST(EventChannel, ASlowListenerIsLostAndTheOthersAreNot) {
    EventChannel channel("r");
    int woken = 0;
    Listener slow(3, [&] { ++woken; });
    Listener quick(3, nobody);
    channel.join(slow, "");
    channel.join(quick, "");
    for (int i = 0; i < 4; ++i) {
        channel.publish("now", "x");
        EXPECT_EQ(all(quick).size(), 1U);
    }
    EXPECT_TRUE(slow.lost());
    EXPECT_FALSE(quick.lost());
    EXPECT_EQ(woken, 4);
    EXPECT_EQ(slow.take(), nullptr) << "what a lost listener held is let go";
    channel.leave(slow);
    EXPECT_EQ(channel.listeners(), 1U);
}

}  // namespace
