#include "core/meter/channel_board.hpp"

#include <gtest/gtest.h>

namespace amphora {
namespace {

constexpr BootTime at(double seconds) { return BootTime{} + Second(seconds); }

/// A shunt at 1 s and 5 s of patience, a second meter at 10 s and 50 s, and a charger's own current.
Live two_meters() {
    Live live;
    live.sources.resize(3);
    live.sources[1].interval = Second(10);
    const auto add = [&](std::size_t source, Measurand measures) -> described::Channel& {
        live.channels.emplace_back();
        live.channels.back().source = source;
        live.channels.back().measures = measures;
        return live.channels.back();
    };
    add(0, Measurand::shunt_drop);
    add(0, Measurand::voltage);
    add(1, Measurand::current);
    add(1, Measurand::voltage);
    add(1, Measurand::temperature);
    add(2, Measurand::current).of = Subject::charger;
    return live;
}

TEST(ChannelBoard, ReadingsComeWithTheFirstCurrent) {
    const Live live = two_meters();
    ChannelBoard board(live);
    EXPECT_FALSE(board.age(at(1)).known());
    board.put(4, 21.5, at(1));
    board.put(3, 13.1, at(1));
    board.put(2, -4.0, at(1));
    ASSERT_TRUE(board.due(at(1)));  // nothing better is known yet
    board.put(0, -5.0, at(2));
    board.put(1, 13.2, at(2));
    const auto reading = board.due(at(2));
    ASSERT_TRUE(reading);
    EXPECT_EQ(reading->current, Ampere(-5));
    EXPECT_EQ(reading->voltage, Volt(13.2));
    EXPECT_EQ(reading->temperature, Celsius(21.5));
    board.put(2, -4.1, at(3));
    EXPECT_FALSE(board.due(at(3)));  // the shunt leads
    board.put(5, 7.0, at(3.5));
    EXPECT_FALSE(board.due(at(3.5)));
    EXPECT_EQ(board.age(at(4)), Second(1));
}

TEST(ChannelBoard, TheSecondMeterLeadsWhileTheFirstIsSilent) {
    const Live live = two_meters();
    ChannelBoard board(live);
    board.put(0, -5.0, at(0));
    board.put(1, 13.2, at(0));
    board.put(2, -4.0, at(6));
    board.put(3, 13.0, at(6));
    const auto reading = board.due(at(6));
    ASSERT_TRUE(reading);
    EXPECT_EQ(reading->current, Ampere(-4));
    EXPECT_EQ(reading->voltage, Volt(13.0));
    EXPECT_FALSE(reading->temperature.known());
}

TEST(ChannelBoard, VoltageAloneIsAReadingWhileNoCurrentComes) {
    const Live live = two_meters();
    ChannelBoard board(live);
    board.put(0, -5.0, at(0));
    board.put(1, 13.2, at(0));
    board.put(1, 13.3, at(3));
    EXPECT_FALSE(board.due(at(3)));
    board.put(1, 13.4, at(60));
    const auto reading = board.due(at(60));
    ASSERT_TRUE(reading);
    EXPECT_FALSE(reading->current.known());
    EXPECT_EQ(reading->voltage, Volt(13.4));
}

TEST(ChannelBoard, SilenceBeginsAfterThePatience) {
    const Live live = two_meters();
    ChannelBoard board(live);
    EXPECT_TRUE(board.silent(0, at(0)));
    board.put(0, 1.0, at(10));
    EXPECT_FALSE(board.silent(0, at(15)));
    EXPECT_TRUE(board.silent(0, at(15.1)));
    EXPECT_FALSE(board.battery(at(16)).current.known());
}

}  // namespace
}  // namespace amphora
