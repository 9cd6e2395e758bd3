#include "core/commission/commissioning.hpp"

#include <gtest/gtest.h>

#include <array>
#include <random>
#include <set>

namespace amphora::commission {
namespace {

constexpr double start = 1.75e9;

System van() {
    System s;
    s.meters.resize(1);
    s.meters[0].rated_current = Ampere(300);
    s.meters[0].rated_drop = Volt(0.075);
    s.equipment.meters.resize(1);
    s.equipment.meters[0].offset = Volt(3e-6);  // 12 mA
    s.battery.full = {Volt(13.9), Ampere(8), Second(180)};
    s.equipment.chargers.resize(1);
    s.equipment.chargers[0].absorption = Volt(14.2);
    return s;
}

/// Plays the person: what the meter shows in each act, and what is answered.
class Player {
public:
    explicit Player(const System& system) : commissioning(system) {}

    void act(double amperes, double answer = 0, double noise = 0.02) {
        const auto step = commissioning.step();
        commissioning.begin(Instant::from_unix(start + at_), answer);
        for (int i = 0; i < 200 && !commissioning.ready(); ++i, at_ += 1)
            commissioning.push({Instant::from_unix(start + at_), Ampere(amperes + noise * normal_(dice_)), Volt(12.8),
                                Celsius::missing()});
        EXPECT_TRUE(commissioning.ready());
        EXPECT_EQ(commissioning.step(), step);
        commissioning.next();
    }
    [[nodiscard]] const Finding& last() const { return commissioning.findings().back(); }

    Commissioning commissioning;

private:
    std::mt19937 dice_{5};
    std::normal_distribution<double> normal_;
    double at_ = 0;
};

TEST(Commissioning, ASoundInstallationPasses) {
    const System s = van();
    Player p(s);
    p.act(-0.05);
    p.act(-5.1, 65);
    EXPECT_EQ(p.last().meaning, Meaning::right_way_round);
    EXPECT_NEAR(p.last().seen.mean.value(), -5.05, 0.05);
    EXPECT_NEAR(p.last().expected.value(), -65 / 12.8, 1e-9);
    p.act(0.004, 0);
    EXPECT_EQ(p.last().meaning, Meaning::all_through_shunt);
    p.act(0.004);
    EXPECT_EQ(p.last().meaning, Meaning::zero_small);
    EXPECT_NEAR(p.last().seen.mean.value(), 0.004, 0.01);
    EXPECT_GT(p.last().seen.sd.value(), 0.0);
    p.act(-20.2, 20);
    EXPECT_EQ(p.last().meaning, Meaning::gain_agrees);
    EXPECT_NEAR(p.last().ratio, 1.01, 0.005);
    p.act(0);
    EXPECT_EQ(p.last().meaning, Meaning::full_reachable);
    EXPECT_FALSE(p.commissioning.step());
    EXPECT_TRUE(p.commissioning.sound());
    EXPECT_EQ(p.commissioning.findings().size(), step_count);
}

Finding direction(double before, double with, double watts, double noise = 0.02) {
    const System s = van();
    Player p(s);
    p.act(before, 0, noise);
    p.act(with, watts, noise);
    return p.last();
}

TEST(Commissioning, DirectionGoneWrong) {
    EXPECT_EQ(direction(0.0, 5.0, 65).meaning, Meaning::reversed);
    EXPECT_EQ(direction(-1.0, -1.05, 65).meaning, Meaning::load_not_seen);
    EXPECT_EQ(direction(0.0, -10.0, 65).meaning, Meaning::load_other_size) << "half the shunt's rated pair";
    EXPECT_EQ(direction(0.0, -0.5, 5, 3.0).meaning, Meaning::load_too_small);
}

Finding bypass(double amperes, bool works) {
    const System s = van();
    Player p(s);
    p.commissioning.skip();
    p.act(amperes, works ? 1 : 0);
    return p.last();
}

TEST(Commissioning, AWireAroundTheShunt) {
    EXPECT_EQ(bypass(0.01, true).meaning, Meaning::something_bypasses);
    EXPECT_EQ(bypass(-0.4, false).meaning, Meaning::something_left_on);
    EXPECT_EQ(bypass(0.01, false).verdict, Verdict::passed);
}

Finding zero(double amperes, double noise) {
    const System s = van();
    Player p(s);
    p.commissioning.skip();
    p.commissioning.skip();
    p.act(amperes, 0, noise);
    return p.last();
}

TEST(Commissioning, ZeroWithItsConfidence) {
    EXPECT_EQ(zero(0.01, 0.01).meaning, Meaning::zero_small);
    EXPECT_EQ(zero(0.2, 0.01).meaning, Meaning::zero_large);
    EXPECT_EQ(zero(0.0, 2.0).meaning, Meaning::zero_too_noisy);
}

Finding gain(double shown, double reference) {
    const System s = van();
    Player p(s);
    for (int i = 0; i < 3; ++i) p.commissioning.skip();
    p.act(shown, reference);
    return p.last();
}

TEST(Commissioning, GainAgainstASecondMeter) {
    EXPECT_EQ(gain(-20.5, 20).meaning, Meaning::gain_agrees);
    EXPECT_EQ(gain(-40.0, 20).meaning, Meaning::gain_differs);
    EXPECT_EQ(gain(-0.4, 0.4).meaning, Meaning::gain_reference_too_small);
}

TEST(Commissioning, EvidenceForFull) {
    System s = van();
    s.equipment.chargers[0].absorption = Volt(13.6);
    Player p(s);
    for (int i = 0; i < 4; ++i) p.commissioning.skip();
    p.act(0);
    EXPECT_EQ(p.last().meaning, Meaning::full_never_reached);
    EXPECT_FALSE(p.commissioning.sound());
}

TEST(Commissioning, WithoutReadingsItSaysSo) {
    const System s = van();
    Commissioning c(s);
    c.begin(Instant::from_unix(start));
    c.next();
    c.begin(Instant::from_unix(start + 60), 60);
    c.next();
    EXPECT_EQ(c.findings().at(0).meaning, Meaning::no_readings);
    EXPECT_EQ(c.findings().at(0).verdict, Verdict::unsure);
}

TEST(Commissioning, EveryOutcomeHasWordsOfItsOwn) {
    std::set<std::string_view> words;
    for (int m = 0; m <= static_cast<int>(Meaning::left_out); ++m) words.insert(words_of(static_cast<Meaning>(m)));
    EXPECT_EQ(words.size(), static_cast<std::size_t>(Meaning::left_out) + 1);
    for (std::size_t i = 0; i < step_count; ++i) {
        EXPECT_FALSE(acts_of(static_cast<Step>(i)).empty());
        EXPECT_FALSE(title_of(static_cast<Step>(i)).empty());
    }
}

}  // namespace
}  // namespace amphora::commission
