// What holds for any rule and any readings: it never trips before its delay, never chatters, and the same readings give
// the same events however often one looks.
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "support/guard_events.hpp"

namespace amphora::guard {
namespace {

using Dice = std::mt19937_64;

double between(Dice& dice, double low, double high) { return std::uniform_real_distribution(low, high)(dice); }

Protection any_rule(Dice& dice) {
    described::Guard g;
    g.name = "rule";
    g.relay = "relay";
    const double level = between(dice, 11.0, 14.0);
    const double distance = between(dice, 0.1, 1.0);
    if (dice() % 2 == 0) {
        g.trip_below = Level(level);
        g.clear_above = Level(level + distance);
    } else {
        g.trip_above = Level(level);
        g.clear_below = Level(level - distance);
    }
    g.trip_after = Second(std::floor(between(dice, 0.0, 30.0)));
    g.clear_after = Second(std::floor(between(dice, 0.0, 60.0)));
    Protection p;
    p.guards = {g};
    p.relays.resize(1);
    p.relays[0].name = "relay";
    return p;
}

struct Moment {
    double at = 0;
    double volts = 0;
};

/// A voltage that wanders, jumps, and now and then is not known; seconds apart, sometimes many.
std::vector<Moment> any_readings(Dice& dice) {
    std::vector<Moment> readings;
    double at = 0;
    double volts = 12.5;
    for (int i = 0; i < 2000; ++i) {
        at += dice() % 50 == 0 ? between(dice, 0, 300) : between(dice, 0.1, 2.0);
        volts = dice() % 40 == 0 ? between(dice, 10, 15) : std::clamp(volts + between(dice, -0.2, 0.2), 10.0, 15.0);
        readings.push_back({at, dice() % 60 == 0 ? std::nan("") : volts});
    }
    return readings;
}

Kept watch(const Protection& protection, const std::vector<Moment>& readings, double tick) {
    Guards guards(protection);
    Kept kept;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        guards.look(situation(readings[i].at, readings[i].volts), kept);
        if (i + 1 == readings.size() || tick <= 0) continue;
        for (double t = readings[i].at + tick; t < readings[i + 1].at; t += tick)
            guards.look(situation(t, readings[i].volts), kept);
    }
    return kept;
}

TEST(GuardProperty, ATripIsNeverEarlierThanItsDelay) {
    int trips = 0;
    for (unsigned seed = 0; seed < 200; ++seed) {
        Dice dice(seed);
        const auto protection = any_rule(dice);
        const auto& g = protection.guards[0];
        const auto readings = any_readings(dice);
        const bool below = g.trip_below.known();
        for (const Event& trip : watch(protection, readings, 0.5).of(EventKind::tripped)) {
            ++trips;
            // Backwards from the trip, the level was passed without a break for the whole delay.
            const double at = (trip.at - BootTime{}).value();
            double since = at;
            for (auto r = readings.rbegin(); r != readings.rend(); ++r) {
                if (r->at > at + 1e-6 || std::isnan(r->volts)) continue;
                if (below ? r->volts >= g.trip_below.value() : r->volts <= g.trip_above.value()) break;
                since = r->at;
            }
            EXPECT_GE(at - since, g.trip_after.value() - 1e-5) << "seed " << seed;
        }
    }
    EXPECT_GT(trips, 300);
}

TEST(GuardProperty, BetweenTwoTripsBothLevelsAreCrossedAndBothDelaysKept) {
    std::size_t turns = 0;
    for (unsigned seed = 0; seed < 200; ++seed) {
        Dice dice(seed);
        const auto protection = any_rule(dice);
        const auto& g = protection.guards[0];
        const auto kept = watch(protection, any_readings(dice), 0.5);
        const auto trips = kept.of(EventKind::tripped);
        const auto clears = kept.of(EventKind::cleared);
        turns += clears.size();
        EXPECT_LE(clears.size(), trips.size());
        EXPECT_GE(clears.size() + 1, trips.size()) << "they take turns";
        for (std::size_t i = 1; i < trips.size(); ++i) {
            EXPECT_GE((clears[i - 1].at - trips[i - 1].at).value(), g.clear_after.value() - 1e-5);
            EXPECT_GE((trips[i].at - clears[i - 1].at).value(), g.trip_after.value() - 1e-5);
        }
    }
    EXPECT_GT(turns, 300U);
}

// Noise that stays within the distance of the two levels cannot make a rule trip twice, wherever its middle lies.
TEST(GuardProperty, NoiseWithinTheLevelsNeverChatters) {
    std::size_t tripped = 0;
    for (unsigned seed = 0; seed < 200; ++seed) {
        Dice dice(seed);
        auto protection = any_rule(dice);
        auto& g = protection.guards[0];
        g.trip_after = g.clear_after = Second(0);
        const double trip = g.trip_below.known() ? g.trip_below.value() : g.trip_above.value();
        const double distance = std::abs((g.trip_below.known() ? g.clear_above : g.clear_below).value() - trip);
        const double middle = trip + between(dice, -1.0, 1.0);
        std::vector<Moment> readings;
        for (int i = 0; i < 3000; ++i) readings.push_back({i * 1.0, middle + between(dice, -0.499, 0.499) * distance});
        const auto trips = watch(protection, readings, 0).count(EventKind::tripped);
        EXPECT_LE(trips, 1U) << "seed " << seed;
        tripped += trips;
    }
    EXPECT_GT(tripped, 50U) << "rules that never trip would pass as well";
}

// Live, the program looks at least once a second and after every reading; a replay looks at other moments between.
TEST(GuardProperty, HowOftenOneLooksDoesNotMatter) {
    for (unsigned seed = 0; seed < 100; ++seed) {
        Dice dice(seed);
        const auto protection = any_rule(dice);
        const auto readings = any_readings(dice);
        const auto live = watch(protection, readings, 0.7);
        const auto replayed = watch(protection, readings, 1.0);
        for (const auto kind : {EventKind::tripped, EventKind::cleared}) {
            const auto a = live.of(kind);
            const auto b = replayed.of(kind);
            ASSERT_EQ(a.size(), b.size()) << "seed " << seed;
            for (std::size_t i = 0; i < a.size(); ++i) {
                EXPECT_NEAR((a[i].at - b[i].at).value(), 0.0, 1e-5);
                EXPECT_EQ(a[i].worst, b[i].worst);
            }
        }
    }
}

TEST(GuardProperty, TheSameSituationsGiveTheSameEventsToTheBit) {
    Dice dice(7);
    const auto protection = any_rule(dice);
    const auto readings = any_readings(dice);
    const auto first = watch(protection, readings, 1.0).events;
    const auto second = watch(protection, readings, 1.0).events;
    ASSERT_EQ(first.size(), second.size());
    for (std::size_t i = 0; i < first.size(); ++i) {
        EXPECT_EQ(first[i].at, second[i].at);
        EXPECT_EQ(first[i].kind, second[i].kind);
    }
}

}  // namespace
}  // namespace amphora::guard
