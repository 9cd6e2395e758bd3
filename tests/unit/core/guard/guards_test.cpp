#include "core/guard/guards.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <utility>

#include "core/guard/watched.hpp"
#include "support/guard_events.hpp"

namespace amphora::guard {
namespace {

described::Guard rule(const std::string& name, Watched watch, double below, double after, double clear) {
    described::Guard g;
    g.name = name;
    g.watch = watch;
    g.trip_below = Level(below);
    g.trip_after = Second(after);
    g.clear_above = Level(clear);
    return g;
}

/// Loads cut at 12 V after ten seconds; charging stopped below 2 C.
Protection two_relays() {
    Protection p;
    p.relays.resize(2);
    p.relays[0].name = "loads";
    p.relays[0].when_blind = described::WhenBlind::hold;
    p.relays[1].name = "charging";
    p.relays[1].when_blind = described::WhenBlind::off;
    p.guards = {rule("low", Watched::voltage, 12.0, 10.0, 13.0), rule("cold", Watched::temperature, 2.0, 0.0, 5.0)};
    p.guards[0].relay = "loads";
    p.guards[0].notices = {"phone"};
    p.guards[1].relay = "charging";
    return p;
}

TEST(Guards, TripAtTheMomentBetweenTwoLooks) {
    Guards guards(two_relays());
    Kept kept;
    guards.look(situation(0, 12.5), kept);
    guards.look(situation(3, 11.9), kept);
    guards.look(situation(7, 11.8), kept);
    guards.look(situation(11, 11.8), kept);
    EXPECT_EQ(kept.count(EventKind::tripped), 0U);
    guards.look(situation(14, 11.8), kept);
    const auto trips = kept.of(EventKind::tripped);
    ASSERT_EQ(trips.size(), 1U);
    EXPECT_DOUBLE_EQ((trips[0].at - BootTime{}).value(), 13.0);
    EXPECT_EQ(trips[0].worst, Level(11.8));
    const auto orders = kept.of(EventKind::relay_ordered);
    ASSERT_EQ(orders.size(), 3U) << "both on at the start, then the loads off";
    EXPECT_EQ(orders[2].index, 0U);
    EXPECT_FALSE(orders[2].on);
}

TEST(Guards, ChargingStopsInFrostAndWithoutAThermometer) {
    Guards guards(two_relays());
    Kept kept;
    guards.look(situation(0, 13.3, 20.0, 8.0), kept);
    guards.look(situation(1, 13.3, 20.0, 1.9), kept);
    ASSERT_EQ(kept.of(EventKind::relay_ordered).back().index, 1U);
    EXPECT_FALSE(kept.of(EventKind::relay_ordered).back().on);
    guards.look(situation(2, 13.3, 0.0, 6.0), kept);
    EXPECT_TRUE(kept.of(EventKind::relay_ordered).back().on);
    for (int s = 3; s < 40; ++s) {
        auto unseen = situation(s, 13.3);
        unseen.temperature = Celsius::missing();
        guards.look(unseen, kept);
    }
    EXPECT_EQ(kept.count(EventKind::relay_blind), 1U);
    EXPECT_FALSE(kept.of(EventKind::relay_ordered).back().on);
    EXPECT_TRUE(guards.relay(0).commanded().value()) << "the loads do not depend on the thermometer";
}

TEST(Guards, AComputerThatSleptHasSeenNothing) {
    Guards guards(two_relays());
    Kept kept;
    guards.look(situation(0, 11.9), kept);
    guards.look(situation(3600, 11.9), kept);
    EXPECT_EQ(kept.count(EventKind::tripped), 0U) << "an hour passed, but at most five seconds of it were seen";
    guards.look(situation(3605, 11.9), kept);
    EXPECT_EQ(kept.count(EventKind::tripped), 1U);
}

TEST(Guards, TimeThatRunsBackwardCountsAsNone) {
    Guards guards(two_relays());
    Kept kept;
    guards.look(situation(100, 11.9), kept);
    guards.look(situation(50, 11.9), kept);
    guards.look(situation(54, 11.9), kept);
    EXPECT_EQ(kept.count(EventKind::tripped), 0U);
    for (const Event& event : kept.events) EXPECT_GE(event.at, BootTime{} + Second(100));
}

TEST(Guards, NoticesWaitForTheEndOfQuietHours) {
    auto p = two_relays();
    p.guards[0].quiet = {Hour(22), Hour(7)};
    Guards guards(p);
    guards.set_zone_offset(Second(3600));
    Kept kept;
    const auto look = [&](double seconds, double volts, double local_hour) {
        auto s = situation(seconds, volts);
        s.utc = Instant::from_unix(1'700'006'400.0 + (local_hour - 1.0) * 3600.0);  // midnight of a day, UTC
        guards.look(s, kept);
    };
    for (int s = 0; s < 20; ++s) look(s, 11.5, 23.0);
    EXPECT_EQ(kept.count(EventKind::tripped), 1U);
    EXPECT_EQ(kept.count(EventKind::notice_tripped), 0U);
    EXPECT_FALSE(guards.relay(0).commanded().value()) << "relays act at all hours";
    look(21, 11.5, 6.9);
    EXPECT_EQ(kept.count(EventKind::notice_tripped), 0U);
    look(22, 11.5, 7.0);
    EXPECT_EQ(kept.count(EventKind::notice_tripped), 1U);
    look(23, 13.1, 12.0);
    EXPECT_EQ(kept.count(EventKind::notice_cleared), 1U);
}

TEST(Guards, AClearByHandIsTold) {
    auto p = two_relays();
    p.guards[0].latches = true;
    p.guards[0].clear_above = Level::missing();
    Guards guards(p);
    Kept kept;
    for (int s = 0; s < 20; ++s) guards.look(situation(s, 11.5), kept);
    guards.look(situation(20, 14.0), kept);
    EXPECT_FALSE(guards.relay(0).commanded().value());
    guards.clear(0, kept);
    EXPECT_EQ(kept.count(EventKind::cleared), 1U);
    guards.look(situation(21, 14.0), kept);
    EXPECT_TRUE(guards.relay(0).commanded().value());
}

TEST(Guards, WhatWasTrippedBeforeARestartStaysSo) {
    Guards guards(two_relays());
    guards.restore(0, {.tripped = true});
    Kept kept;
    guards.look(situation(0, 12.5), kept);
    EXPECT_FALSE(guards.relay(0).commanded().value()) << "12.5 V is above the trip level, but the rule has not cleared";
    EXPECT_EQ(kept.count(EventKind::tripped), 0U);
}

TEST(Guards, WhatLatchesWaitsForAPersonAndNotForSight) {
    auto protection = two_relays();
    protection.guards[0] = rule("low", Watched::voltage, 12.0, 0.0, 0.0);
    protection.guards[0].clear_above = Level::missing();
    protection.guards[0].latches = true;
    protection.guards[0].relay = "loads";
    protection.relays[0].when_blind = described::WhenBlind::on;
    protection.relays[0].blind_after = Second(30);
    Guards guards(protection);
    Kept kept;
    guards.look(situation(0, 13.0), kept);
    guards.look(situation(1, 11.0), kept);
    ASSERT_FALSE(guards.relay(0).commanded().value());
    for (int s = 2; s < 200; ++s) guards.look(situation(s, std::nan("")), kept);
    EXPECT_FALSE(guards.relay(0).commanded().value()) << "it would close on the fault";
}

TEST(Guards, ARefusingRelayIsToldOnce) {
    Guards guards(two_relays());
    Kept kept;
    guards.confirm(0, false);
    for (int s = 0; s < 60; ++s) guards.look(situation(s, 13.0), kept);
    EXPECT_EQ(kept.count(EventKind::relay_refuses), 1U);
    guards.confirm(0, true);
    guards.look(situation(60, 13.0), kept);
    EXPECT_EQ(kept.count(EventKind::relay_confirmed), 1U);
}

TEST(Watched, TheUnloadedVoltageAddsWhatTheLoadTakes) {
    described::Guard g;
    g.watch = Watched::unloaded_voltage;
    g.resistance = Ohm(0.005);
    EXPECT_NEAR(value_of(g, situation(0, 11.6, -200.0)).value(), 12.6, 1e-12);
    EXPECT_NEAR(value_of(g, situation(0, 14.0, 40.0)).value(), 13.8, 1e-12);
}

TEST(Watched, CurrentsCountOneWay) {
    described::Guard g;
    g.watch = Watched::current_out;
    EXPECT_EQ(value_of(g, situation(0, 12, -30)), Level(30));
    EXPECT_EQ(value_of(g, situation(0, 12, 30)), Level(0));
    g.watch = Watched::current_in;
    EXPECT_EQ(value_of(g, situation(0, 12, 30)), Level(30));
    Situation unknown;
    EXPECT_FALSE(value_of(g, unknown).known());
}

TEST(Watched, ChargersProbesAndCellsByTheirNames) {
    std::array<Seen, 5> seen;
    seen[0] = {Measurand::current, Subject::charger, "roof", 0, "solar", -0.4, Second(1), false};
    seen[1] = {Measurand::cell_voltage, Subject::battery, "", 1, "cells", 3.31, Second(2), false};
    seen[2] = {Measurand::cell_voltage, Subject::battery, "", 2, "cells", 3.36, Second(2), false};
    seen[3] = {Measurand::cell_voltage, Subject::battery, "", 3, "cells", 2.00, Second(99), true};
    seen[4] = {Measurand::temperature, Subject::probe, "outside", 0, "probe", -3.0, Second(4), false};
    auto s = situation(0, 13.2);
    s.seen = seen;
    described::Guard g;
    g.watch = Watched::reverse_current;
    g.of = "roof";
    EXPECT_NEAR(value_of(g, s).value(), 0.4, 1e-12);
    g.watch = Watched::temperature;
    g.of = "outside";
    EXPECT_EQ(value_of(g, s), Level(-3.0));
    g.watch = Watched::cell_spread;
    g.of = "";
    EXPECT_NEAR(value_of(g, s).value(), 0.05, 1e-12) << "the silent cell does not count";
    g.watch = Watched::silence;
    g.of = "cells";
    EXPECT_EQ(value_of(g, s), Level(2.0));
    g.of = "nobody";
    EXPECT_GT(value_of(g, s), Level(1e12));
    for (Seen& channel : seen) channel.source = "one box";
    for (const std::size_t unheard : {0U, 4U}) {
        const Second spoke = std::exchange(seen.at(unheard).age, Second::missing());
        g.of = "one box";
        EXPECT_LT(value_of(g, s), Level(3.0)) << "a channel that never spoke does not make its source silent";
        seen.at(unheard).age = spoke;
    }
}

// After each start of the program the meter has not spoken for a moment: that is no silence yet.
TEST(Watched, WhatNeverSpokeIsSilentOnceTheProgramHasRunForSoLong) {
    described::Guard g;
    g.watch = Watched::silence;
    g.trip_above = Level(60);
    auto s = situation(0, NAN);
    s.age = Second::missing();
    s.up = Second(1);
    EXPECT_FALSE(value_of(g, s).known());
    s.up = Second(61);
    EXPECT_GT(value_of(g, s), Level(1e12));
    s.age = Second(3);
    EXPECT_EQ(value_of(g, s), Level(3));
}

TEST(Watched, TheLowEdgeOfTheBandIsFivePercentSure) {
    described::Guard g;
    g.watch = Watched::lowest_state_of_charge;
    auto s = situation(0, 13.2);
    s.state_of_charge = {Fraction(0.5), Fraction(0.1)};
    EXPECT_NEAR(value_of(g, s).value(), 0.5 - 0.16448536, 1e-6);
}

}  // namespace
}  // namespace amphora::guard
