#include "core/guard/relay_keeper.hpp"

#include <gtest/gtest.h>

namespace amphora::guard {
namespace {

using described::WhenBlind;

constexpr BootTime at(double seconds) { return BootTime{} + Second(seconds); }
constexpr Claim calm{};
constexpr Claim held{.held = true};
constexpr Claim blind{.blind = true};

described::Relay plain() {
    described::Relay r;
    r.when_blind = WhenBlind::off;
    r.blind_after = Second(30);
    return r;
}

TEST(RelayKeeper, LeavesTheNormalStateWhileHeld) {
    RelayKeeper keeper(plain());
    EXPECT_EQ(keeper.weigh(at(0), calm), true);
    EXPECT_EQ(keeper.weigh(at(1), calm), std::nullopt) << "one order is enough";
    EXPECT_EQ(keeper.weigh(at(2), held), false);
    EXPECT_EQ(keeper.weigh(at(3), calm), true);
}

TEST(RelayKeeper, GoesToTheSafeStateAfterSoLongWithoutSight) {
    RelayKeeper keeper(plain());
    ASSERT_EQ(keeper.weigh(at(0), calm), true);
    EXPECT_EQ(keeper.weigh(at(10), blind), std::nullopt);
    EXPECT_EQ(keeper.weigh(at(39), blind), std::nullopt);
    EXPECT_EQ(keeper.weigh(at(40), blind), false);
    EXPECT_TRUE(keeper.in_safe_state());
    EXPECT_EQ(keeper.weigh(at(41), calm), std::nullopt);
    EXPECT_EQ(keeper.weigh(at(70), calm), std::nullopt);
    EXPECT_EQ(keeper.weigh(at(71), calm), true) << "sight has lasted as long as it was missed";
    EXPECT_FALSE(keeper.in_safe_state());
}

TEST(RelayKeeper, ALoosePlugDoesNotMakeItChatter) {
    RelayKeeper keeper(plain());
    int orders = 0;
    for (int s = 0; s < 3600; ++s) orders += keeper.weigh(at(s), s % 60 < 5 ? calm : blind).has_value();
    EXPECT_EQ(orders, 2) << "on at the start, then to the safe state for good";
    EXPECT_EQ(keeper.commanded(), false);
}

TEST(RelayKeeper, WhatWasTrippedBeforeARestartIsHeldWithoutSight) {
    auto settings = plain();
    settings.when_blind = WhenBlind::hold;
    RelayKeeper keeper(settings);
    const Claim unseen{.blind = true, .was_held = true};
    EXPECT_EQ(keeper.weigh(at(0), unseen), false);
    EXPECT_EQ(keeper.weigh(at(1000), unseen), std::nullopt);
    EXPECT_EQ(keeper.weigh(at(1001), calm), true);
}

TEST(RelayKeeper, HoldsWhereTheDescriptionSaysSo) {
    auto settings = plain();
    settings.when_blind = WhenBlind::hold;
    RelayKeeper keeper(settings);
    ASSERT_EQ(keeper.weigh(at(0), calm), true);
    ASSERT_EQ(keeper.weigh(at(1), held), false);
    EXPECT_EQ(keeper.weigh(at(2), blind), std::nullopt);
    EXPECT_EQ(keeper.weigh(at(1000), blind), std::nullopt);
    EXPECT_EQ(keeper.commanded(), false);
}

TEST(RelayKeeper, ARuleThatSeesAndIsTrippedGoesBeforeTheSafeState) {
    auto settings = plain();
    settings.when_blind = WhenBlind::on;
    RelayKeeper keeper(settings);
    ASSERT_EQ(keeper.weigh(at(0), calm), true);
    EXPECT_EQ(keeper.weigh(at(1), {.held = true, .blind = true}), false);
    EXPECT_EQ(keeper.weigh(at(100), {.held = true, .blind = true}), std::nullopt);
    EXPECT_FALSE(keeper.in_safe_state());
}

TEST(RelayKeeper, AtTheStartItWaitsToSee) {
    RelayKeeper keeper(plain());
    EXPECT_EQ(keeper.weigh(at(0), blind), std::nullopt) << "the relay is left as it was";
    EXPECT_EQ(keeper.weigh(at(5), held), false);
}

TEST(RelayKeeper, KeepsItsLeastTimes) {
    auto settings = plain();
    settings.least_off = Second(180);
    RelayKeeper keeper(settings);
    ASSERT_EQ(keeper.weigh(at(0), calm), true);
    ASSERT_EQ(keeper.weigh(at(1), held), false);
    EXPECT_EQ(keeper.weigh(at(100), calm), std::nullopt);
    EXPECT_EQ(keeper.weigh(at(181), calm), true);
}

TEST(RelayKeeper, UrgentRulesDoNotWait) {
    auto settings = plain();
    settings.least_on = Second(600);
    RelayKeeper keeper(settings);
    ASSERT_EQ(keeper.weigh(at(0), calm), true);
    EXPECT_EQ(keeper.weigh(at(1), held), std::nullopt);
    EXPECT_EQ(keeper.weigh(at(2), {.held = true, .urgent = true}), false);
}

TEST(RelayKeeper, RepeatsAnOrderThatIsNotObeyed) {
    RelayKeeper keeper(plain());
    keeper.confirm(true);
    ASSERT_EQ(keeper.weigh(at(0), calm), true);
    ASSERT_EQ(keeper.weigh(at(10), held), false);
    EXPECT_FALSE(keeper.refuses(at(14)));
    EXPECT_TRUE(keeper.refuses(at(15)));
    EXPECT_EQ(keeper.weigh(at(15), held), false);
    EXPECT_EQ(keeper.weigh(at(16), held), std::nullopt) << "not more often than the relay has time to answer";
    keeper.confirm(false);
    EXPECT_FALSE(keeper.refuses(at(30)));
    EXPECT_EQ(keeper.confirmed(), false);
}

TEST(RelayKeeper, WithoutAReadBackNothingIsConfirmed) {
    RelayKeeper keeper(plain());
    ASSERT_EQ(keeper.weigh(at(0), calm), true);
    EXPECT_EQ(keeper.confirmed(), std::nullopt);
    EXPECT_FALSE(keeper.refuses(at(1000)));
}

}  // namespace
}  // namespace amphora::guard
