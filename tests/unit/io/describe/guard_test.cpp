// Guards from text: what is understood, and every refusal with its reason.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

#include "core/guard/ready_made.hpp"
#include "io/describe/describe.hpp"
#include "io/describe/table_text.hpp"

namespace amphora::describe {
namespace {

using ::testing::Contains;
using ::testing::Field;
using ::testing::HasSubstr;

const std::string lfp = "[battery]\nchemistry = \"lfp\"\ndesign_capacity_ah = 200\n";
const std::string agm = "[battery]\nchemistry = \"agm\"\ndesign_capacity_ah = 200\n";
const std::string loads =
    "[[relay]]\nname = \"loads\"\nkind = \"rehearsal\"\nswitches = \"loads\"\nwhen_blind = \"hold\"\n";
const std::string charging =
    "[[relay]]\nname = \"charging\"\nkind = \"rehearsal\"\nswitches = \"charging\"\nwhen_blind = \"off\"\n";

std::string guard(const std::string& name, const std::string& rest) {
    return "[[guard]]\nname = \"" + name + "\"\n" + rest + "\n";
}

const std::string low = guard("low",
                              "watch = \"voltage\"\ntrip_below = 12.0\ntrip_after_s = 60\nclear_above = 13.2\nrelay = "
                              "\"loads\"");
const std::string cold =
    guard("cold", "watch = \"temperature\"\ntrip_below = 2\nclear_above = 5\nrelay = \"charging\"");

Mistakes guard_mistakes_in(const std::string& text) {
    const auto described = describe_text(text);
    return described ? Mistakes{} : described.error();
}

std::string one_mistake(const std::string& text) {
    const auto mistakes = guard_mistakes_in(text);
    EXPECT_EQ(mistakes.size(), 1U) << (mistakes.size() > 1 ? mistakes[1].message : "");
    return mistakes.empty() ? "" : mistakes.front().path + ": " + mistakes.front().message;
}

TEST(Guard, IsUnderstood) {
    const auto described = describe_text(
        lfp + loads + "[[notice]]\nname = \"phone\"\nkind = \"http\"\nto = \"https://example.org/x\"\n" +
        guard("low",
              "watch = \"unloaded-voltage\"\ntrip_below = 12\ntrip_after_s = 60\nclear_above = 13.3\n"
              "clear_after_s = 300\nrelay = \"loads\"\nnotices = [\"phone\"]\nrun = [\"/bin/true\", \"a b\"]\n"
              "quiet_h = [22, 7]\nurgent = true"));
    ASSERT_TRUE(described) << described.error().front().message;
    const auto& g = described->system.protection.guards.at(0);
    EXPECT_EQ(g.watch, Watched::unloaded_voltage);
    EXPECT_EQ(g.trip_below, Level(12));
    EXPECT_EQ(g.clear_after, Second(300));
    EXPECT_EQ(g.notices, std::vector<std::string>{"phone"});
    EXPECT_EQ(g.run, (std::vector<std::string>{"/bin/true", "a b"}));
    EXPECT_TRUE(g.urgent);
    EXPECT_NEAR(g.resistance.value(), (0.05 + 0.03) * 4 / 200, 1e-9) << "filled in by chemistry";
    EXPECT_THAT(described->notes, Contains(Field(&Note::path, "guard[1].resistance_mohm")));
}

TEST(Guard, ASoundPairIsAccepted) { EXPECT_TRUE(guard_mistakes_in(lfp + loads + charging + low + cold).empty()); }

TEST(Guard, OneThatCanNeverClear) {
    EXPECT_THAT(one_mistake(lfp + loads + guard("low", "watch = \"voltage\"\ntrip_below = 12\nrelay = \"loads\"")),
                HasSubstr("can never clear"));
    EXPECT_THAT(one_mistake(lfp + loads +
                            guard("low",
                                  "watch = \"voltage\"\ntrip_below = 12\nclear_above = 16\nrelay = "
                                  "\"loads\"")),
                HasSubstr("it would never clear"));
    EXPECT_THAT(one_mistake(lfp + loads +
                            guard("low",
                                  "watch = \"state-of-charge\"\ntrip_below = 0.2\nclear_above = "
                                  "30\nrelay = \"loads\"")),
                HasSubstr("it would never clear"));
}

TEST(Guard, OneThatChatters) {
    EXPECT_THAT(one_mistake(lfp + loads +
                            guard("low",
                                  "watch = \"voltage\"\ntrip_below = 12\nclear_above = 11.8\nrelay = "
                                  "\"loads\"")),
                HasSubstr("without end"));
    EXPECT_THAT(one_mistake(lfp + loads +
                            guard("low",
                                  "watch = \"voltage\"\ntrip_below = 12\nclear_above = 12.03\nrelay "
                                  "= \"loads\"")),
                HasSubstr("the noise of a meter makes it chatter"));
    EXPECT_THAT(one_mistake(lfp + loads +
                            guard("low",
                                  "watch = \"voltage\"\ntrip_below = 12\nclear_above = 12.1\nrelay = "
                                  "\"loads\"")),
                HasSubstr("the voltage recovers"));
    EXPECT_THAT(one_mistake(lfp + loads +
                            guard("much",
                                  "watch = \"current-out\"\ntrip_above = 150\nclear_below = 50\n"
                                  "relay = \"loads\"")),
                HasSubstr("close on the fault"));
    EXPECT_TRUE(guard_mistakes_in(lfp + loads +
                                  guard("much",
                                        "watch = \"current-out\"\ntrip_above = 150\nlatches = true\n"
                                        "relay = \"loads\""))
                    .empty());
}

TEST(Guard, OneThatContradictsAnother) {
    const std::string high = guard("high",
                                   "watch = \"voltage\"\ntrip_above = 13.1\nclear_below = 12.5\nrelay = "
                                   "\"charging\"");
    EXPECT_THAT(one_mistake(lfp + loads + charging + cold + low + high), HasSubstr("stops the charging"));
    const std::string lower = guard("high",
                                    "watch = \"voltage\"\ntrip_above = 14\nclear_below = 11.9\nrelay = "
                                    "\"charging\"");
    EXPECT_THAT(one_mistake(lfp + loads + charging + cold + low + lower), HasSubstr("lets the charging begin again"));
    const std::string always = guard("high",
                                     "watch = \"voltage\"\ntrip_above = 11.5\nclear_below = 11\nrelay = "
                                     "\"loads\"");
    EXPECT_THAT(one_mistake(lfp + loads + low + always), HasSubstr("always be tripped"));
}

TEST(Guard, LithiumIsNotChargedInFrost) {
    EXPECT_THAT(one_mistake(lfp + charging), HasSubstr("must not be charged below freezing"));
    const std::string too_low =
        guard("cold", "watch = \"temperature\"\ntrip_below = -5\nclear_above = 5\nrelay = \"charging\"");
    EXPECT_THAT(one_mistake(lfp + charging + too_low), HasSubstr("must not be charged below freezing"));
    const std::string elsewhere =
        guard("cold", "watch = \"temperature\"\nof = \"oven\"\ntrip_below = 2\nclear_above = 5\nrelay = \"charging\"");
    EXPECT_THAT(guard_mistakes_in(lfp + charging + elsewhere),
                Contains(Field(&Mistake::message, HasSubstr("of the battery itself"))));
    EXPECT_THAT(one_mistake(lfp + charging + "blind_after_s = 86400\n" + cold), HasSubstr("blind_after_s"));
    EXPECT_TRUE(guard_mistakes_in(agm + charging).empty()) << "lead-acid may";
    auto careless = charging;
    careless.replace(careless.find("when_blind = \"off\""), 18, "when_blind = \"on\" ");
    EXPECT_THAT(one_mistake(lfp + careless + cold), HasSubstr("without a temperature nobody knows"));
}

TEST(Guard, TheSafeStateMustBeSaid) {
    EXPECT_THAT(one_mistake(lfp + "[[relay]]\nname = \"loads\"\nkind = \"rehearsal\"\n"),
                HasSubstr("relay[1].when_blind: missing"));
}

TEST(Guard, NamesThatAreNotThere) {
    EXPECT_THAT(one_mistake(lfp + loads +
                            guard("low",
                                  "watch = \"voltage\"\ntrip_below = 12\nclear_above = 13\nrelay = "
                                  "\"load\"")),
                HasSubstr("did you mean \"loads\"?"));
    EXPECT_THAT(one_mistake(lfp + guard("low",
                                        "watch = \"voltage\"\ntrip_below = 12\nclear_above = 13\nnotices = "
                                        "[\"phone\"]")),
                HasSubstr("expected names of [[notice]] tables"));
    EXPECT_THAT(one_mistake(lfp + guard("low", "watch = \"voltage\"\ntrip_below = 12\nclear_above = 13")),
                HasSubstr("does nothing"));
    EXPECT_THAT(
        one_mistake(lfp + guard("low", "watch = \"voltage\"\ntrip_below = 12\nclear_above = 13\nrun = [\"horn\"]")),
        HasSubstr("whole path"));
}

TEST(Guard, CurvesBelongToTheirQuantities) {
    EXPECT_THAT(one_mistake(lfp + loads +
                            guard("low",
                                  "watch = \"voltage\"\ntrip_below = 12\nclear_above = 13\nrelay = "
                                  "\"loads\"\ncurve = \"very-inverse\"")),
                HasSubstr("expected a current"));
}

TEST(Guard, TextsInAListAreCheckedOneByOne) {
    EXPECT_THAT(one_mistake(lfp + guard("low",
                                        "watch = \"voltage\"\ntrip_below = 12\nclear_above = 13\nrun = "
                                        "[\"/bin/true\", 3]")),
                HasSubstr("guard[1].run[2]: expected text in quotes"));
}

// What the program proposes it must itself accept, for every chemistry, and read back as it was.
TEST(Guard, ReadyMadeSetsPassEveryCheck) {
    for (const std::string chemistry : {"lfp", "agm", "gel", "flooded", "nmc", "nca", "lto"}) {
        std::string text = "[battery]\nchemistry = \"" + chemistry +
                           "\"\ndesign_capacity_ah = 200\n[[notice]]\nname = \"phone\"\nkind = \"http\"\nto = "
                           "\"https://example.org/\"\n";
        const auto before = describe_text(text);
        ASSERT_TRUE(before);
        const auto set = guard::ready_made(before->system);
        System with = before->system;
        with.protection.relays = set.relays;
        for (const auto& [one, why] : set.guards) with.protection.guards.push_back(one);
        for (std::size_t i = 0; i < set.relays.size(); ++i) text += table_text(with, "relay", i);
        for (std::size_t i = 0; i < set.guards.size(); ++i) text += table_text(with, "guard", i);
        const auto after = describe_text(text);
        ASSERT_TRUE(after) << chemistry << ": " << after.error().front().path << ": " << after.error().front().message;
        const auto& guards = after->system.protection.guards;
        ASSERT_EQ(guards.size(), set.guards.size());
        for (std::size_t i = 0; i < guards.size(); ++i) {
            EXPECT_EQ(guards[i].name, set.guards[i].guard.name);
            EXPECT_EQ(guards[i].trip_after, set.guards[i].guard.trip_after);
            EXPECT_EQ(guards[i].latches, set.guards[i].guard.latches);
            EXPECT_EQ(guards[i].notices, std::vector<std::string>{"phone"});
        }
    }
}

}  // namespace
}  // namespace amphora::describe
