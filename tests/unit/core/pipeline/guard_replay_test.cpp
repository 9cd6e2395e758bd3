#include "core/pipeline/guard_replay.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "support/guard_events.hpp"

namespace amphora {
namespace {

constexpr double replay_start = 1.75e9;

System watched_system() {
    System system;
    described::Guard low;
    low.name = "low";
    low.watch = Watched::voltage;
    low.trip_below = Level(12.0);
    low.trip_after = Second(60);
    low.clear_above = Level(13.0);
    low.relay = "loads";
    described::Guard silent;
    silent.name = "silent";
    silent.watch = Watched::silence;
    silent.trip_above = Level(90);
    silent.clear_below = Level(10);
    silent.notices = {"phone"};
    system.protection.guards = {low, silent};
    system.protection.relays.resize(1);
    system.protection.relays[0].name = "loads";
    system.protection.relays[0].when_blind = described::WhenBlind::off;
    system.protection.relays[0].blind_after = Second(30);
    return system;
}

void feed(GuardReplay& replay, double from, double to, double volts) {
    for (double t = from; t < to; t += 5)
        replay.push({Instant::from_unix(replay_start + t), Ampere(-5), Volt(volts), Celsius::missing()});
}

TEST(GuardReplay, SaysWhenForHowLongAndWhy) {
    GuardReplay replay(watched_system());
    feed(replay, 0, 100, 12.8);
    feed(replay, 100, 400, 11.7);
    feed(replay, 400, 500, 13.1);
    replay.finish();
    ASSERT_EQ(replay.trips().size(), 1U);
    const Trip& trip = replay.trips()[0];
    EXPECT_DOUBLE_EQ((trip.at - Instant::from_unix(replay_start)).value(), 160.0);
    EXPECT_DOUBLE_EQ((trip.until - trip.at).value(), 240.0);
    EXPECT_FALSE(trip.lasts);
    EXPECT_EQ(trip.worst, Level(11.7));
    EXPECT_EQ(trip.seen.current, Ampere(-5));
    ASSERT_EQ(replay.switchings().size(), 3U);
    EXPECT_TRUE(replay.switchings()[0].on);
    EXPECT_FALSE(replay.switchings()[1].on);
    EXPECT_EQ(replay.switchings()[0].why, SwitchReason::start);
    EXPECT_EQ(replay.switchings()[1].why, SwitchReason::tripped);
    EXPECT_EQ(replay.switchings()[1].rule, 0U);
    EXPECT_EQ(replay.switchings()[2].why, SwitchReason::cleared);
    EXPECT_EQ(replay.nearest()[0].value, Level(11.7));
}

TEST(GuardReplay, AGapBlindsAndIsTold) {
    GuardReplay replay(watched_system());
    feed(replay, 0, 100, 12.8);
    feed(replay, 100'000, 100'100, 12.8);
    replay.finish();
    ASSERT_EQ(replay.trips().size(), 1U);
    EXPECT_EQ(replay.trips()[0].rule, 1U);
    EXPECT_NEAR((replay.trips()[0].at - Instant::from_unix(replay_start)).value(), 95.0 + 91.0, 1e-6);
    EXPECT_DOUBLE_EQ((replay.trips()[0].until - Instant::from_unix(replay_start)).value(), 100'000.0);
    ASSERT_EQ(replay.switchings().size(), 3U);
    EXPECT_EQ(replay.switchings()[1].why, SwitchReason::blind);
    EXPECT_EQ(replay.switchings()[1].rule, 0U);
    EXPECT_EQ(replay.switchings()[2].why, SwitchReason::sees);
    EXPECT_NEAR((replay.switchings()[1].at - Instant::from_unix(replay_start)).value(), 95.0 + 26.0 + 30.0, 1e-6)
        << "five intervals of patience, then thirty seconds";
    EXPECT_TRUE(replay.switchings()[2].on);
}

// Live the meter gives a reading each second, and six seconds without one are blindness; in a log of minutes they are
// not.
TEST(GuardReplay, ALogOfMinutesIsNotBlindBetweenThem) {
    System system = watched_system();
    system.live.sources.resize(1);
    GuardReplay replay(system);
    const auto minute = [&](double t) {
        replay.push({Instant::from_unix(replay_start + t), Ampere(-5), Volt(12.8), Celsius::missing()});
    };
    minute(-0.2);  // two readings close together, as where a log begins
    for (int i = 0; i < 1000; ++i) minute(60.0 * i);
    EXPECT_EQ(replay.switchings().size(), 1U);
    for (int i = 1100; i < 1200; ++i) minute(60.0 * i);
    replay.finish();
    EXPECT_EQ(replay.switchings().size(), 3U) << "a hundred minutes without a reading are";
}

TEST(GuardReplay, WhatStillLastsAtTheEnd) {
    GuardReplay replay(watched_system());
    feed(replay, 0, 300, 11.5);
    replay.finish();
    ASSERT_EQ(replay.trips().size(), 1U);
    EXPECT_TRUE(replay.trips()[0].lasts);
    EXPECT_DOUBLE_EQ((replay.trips()[0].until - replay.trips()[0].at).value(), 295.0 - 60.0);
}

// Live looks at other moments than a replay: after each reading, and on a beat of its own between.
TEST(GuardReplay, EqualsLive) {
    const System system = watched_system();
    std::vector<Reading> readings;
    for (int i = 0; i < 4000; ++i) {
        const double volts = 12.5 + 0.9 * std::sin(i / 60.0) + 0.05 * std::sin(i * 1.7);
        readings.push_back({Instant::from_unix(replay_start + i * 2.0), Ampere(-5), Volt(volts), Celsius(20)});
    }
    GuardReplay replay(system);
    for (const Reading& r : readings) replay.push(r);
    replay.finish();

    guard::Guards live(system.protection);
    guard::Kept kept;
    for (const Reading& r : readings)
        for (const double late : {0.0, 0.4, 1.3}) {
            auto s = guard::situation(0, r.voltage.value(), r.current.value());
            s.now = BootTime{r.at.us} + Second(late);
            s.age = Second(late);
            live.look(s, kept);
        }
    const auto trips = kept.of(guard::EventKind::tripped);
    ASSERT_GT(trips.size(), 5U);
    ASSERT_EQ(replay.trips().size(), trips.size());
    for (std::size_t i = 0; i < trips.size(); ++i) {
        EXPECT_EQ(replay.trips()[i].at.us, trips[i].at.us);
        EXPECT_EQ(replay.trips()[i].rule, trips[i].index);
    }
}

}  // namespace
}  // namespace amphora
