// SunSpec information models 802 (battery), 803 (lithium bank) and 713 (storage), as written out in the repository
// sunspec/models (commit 7abdf898): places of the points and of their scale factors; "not implemented" as in
// sunspec/pysunspec2 mb.py (commit f2ece9aa). The register images are our own, by those tables.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <map>

#include "io/source/sunspec/battery_models.hpp"
#include "io/source/sunspec/model_chain.hpp"
#include "io/source/sunspec/point.hpp"

namespace amphora::sunspec {
namespace {

using testing::DoubleEq;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

Word negative(int value) { return static_cast<Word>(static_cast<std::int16_t>(value)); }

// A model with every point "not implemented", as far as 16-bit points go; those given are then set.
std::vector<Word> model(std::uint16_t id, std::uint16_t length, const std::map<std::size_t, Word>& points) {
    std::vector<Word> words(length + 2U, 0xFFFF);
    words[0] = id;
    words[1] = length;
    for (const auto& [at, word] : points) words[at] = word;
    return words;
}

// 13.25 V, -12.3 A, 76.3 %, as in a device that counts discharge as negative.
std::vector<Word> battery_image() {
    return model(802, 62,
                 {{11, 763},
                  {13, 98},
                  {18, 4711},
                  {34, 1325},
                  {37, 3345},
                  {40, 3301},
                  {44, negative(-123)},
                  {56, negative(-1)},
                  {58, 0},
                  {59, negative(-2)},
                  {60, negative(-3)},
                  {61, negative(-1)}});
}

TEST(SunspecModels, Battery802) {
    const auto state = battery_state(802, battery_image());
    ASSERT_TRUE(state);
    EXPECT_DOUBLE_EQ(state->voltage.value(), 13.25);
    EXPECT_DOUBLE_EQ(state->current.value(), -12.3);
    EXPECT_DOUBLE_EQ(state->state_of_charge.value(), 0.763);
    EXPECT_DOUBLE_EQ(state->state_of_health.value(), 0.98);
    EXPECT_DOUBLE_EQ(state->highest_cell.value(), 3.345);
    EXPECT_DOUBLE_EQ(state->lowest_cell.value(), 3.301);
    EXPECT_EQ(state->heartbeat, 4711);
    EXPECT_FALSE(state->temperature.known());
}

TEST(SunspecModels, WhatIsNotImplementedIsMissing) {
    auto words = battery_image();
    words[34] = 0xFFFF;  // uint16
    words[44] = 0x8000;  // int16
    words[56] = 0x8000;  // scale factor of the state of charge
    words[18] = 0xFFFF;
    const auto state = battery_state(802, words);
    ASSERT_TRUE(state);
    EXPECT_FALSE(state->voltage.known());
    EXPECT_FALSE(state->current.known());
    EXPECT_FALSE(state->state_of_charge.known());
    EXPECT_FALSE(state->heartbeat);
}

TEST(SunspecModels, LithiumBank803AddsItsStringsUp) {
    auto words = model(803, 26 + 2 * 32,
                       {{2, 2},
                        {10, 215},
                        {15, 5312},
                        {22, negative(-3)},
                        {23, negative(-1)},
                        {24, negative(-1)},
                        {25, 0},
                        {26, 0},
                        {27, negative(-2)}});
    const std::array<Word, 2> amperes{105, negative(-25)};
    for (std::size_t i = 0; i < 2; ++i) {
        auto* string = &words[28 + 32 * i];
        string[4] = static_cast<Word>(70 + 10 * i);
        string[5] = 99;
        string[6] = amperes[i];
        string[7] = static_cast<Word>(3340 + 5 * i);
        string[9] = static_cast<Word>(3310 - 7 * i);
    }
    const auto state = battery_state(803, words);
    ASSERT_TRUE(state);
    EXPECT_DOUBLE_EQ(state->voltage.value(), 53.12);
    EXPECT_DOUBLE_EQ(state->current.value(), 8.0);
    EXPECT_DOUBLE_EQ(state->state_of_charge.value(), 0.75);
    EXPECT_DOUBLE_EQ(state->temperature.value(), 21.5);
    EXPECT_DOUBLE_EQ(state->highest_cell.value(), 3.345);
    EXPECT_DOUBLE_EQ(state->lowest_cell.value(), 3.303);
}

// A guard against charging in frost needs the coldest module, not the mean: places 4, 7 and 10 hold the highest, the
// lowest and the mean of the modules (order from memory), 12 and 14 of a string its own.
TEST(SunspecModels, LithiumBank803TellsItsColdestModule) {
    auto words = model(803, 26 + 2 * 32, {{2, 2}, {4, 95}, {7, negative(-20)}, {10, 60}, {23, negative(-1)}});
    for (const std::size_t at : {28U, 60U})
        for (const std::size_t i : {12U, 14U}) words[at + i] = 0x8000;
    auto state = *battery_state(803, words);
    EXPECT_DOUBLE_EQ(state.temperature.value(), 6.0);
    EXPECT_DOUBLE_EQ(state.coldest_module.value(), -2.0);
    EXPECT_DOUBLE_EQ(state.hottest_module.value(), 9.5);
    words[60 + 14] = negative(-35);
    words[28 + 12] = 110;
    state = *battery_state(803, words);
    EXPECT_DOUBLE_EQ(state.coldest_module.value(), -3.5);
    EXPECT_DOUBLE_EQ(state.hottest_module.value(), 11.0);
    words[7] = words[60 + 14] = 0x8000;
    EXPECT_FALSE(battery_state(803, words)->coldest_module.known());
}

TEST(SunspecModels, ABankWithAStringThatSaysNothingHasNoCurrent) {
    auto words = model(803, 26 + 2 * 32, {{2, 2}, {24, 0}});
    words[28 + 6] = 5;
    words[28 + 32 + 6] = 0x8000;
    EXPECT_FALSE(battery_state(803, words)->current.known());
    words[28 + 32 + 6] = 5;
    EXPECT_EQ(battery_state(803, words)->current.value(), 10.0);
    words.resize(28 + 32 + 6);  // the device sent less than it announced
    EXPECT_FALSE(battery_state(803, words)->current.known());
}

TEST(SunspecModels, Storage713) {
    const auto state = battery_state(713, model(713, 7, {{4, 505}, {5, 960}, {8, negative(-1)}}));
    EXPECT_DOUBLE_EQ(state->state_of_charge.value(), 0.505);
    EXPECT_DOUBLE_EQ(state->state_of_health.value(), 0.96);
}

TEST(SunspecModels, OthersSayNothingOfABattery) { EXPECT_FALSE(battery_state(103, model(103, 50, {}))); }

TEST(SunspecModels, OneFillsInWhatTheOtherLeavesOut) {
    const BatteryState first{.voltage = Volt(13.0)};
    const BatteryState second{.voltage = Volt(99.0), .temperature = Celsius(21.0), .heartbeat = std::uint16_t{7}};
    const auto both = filled_in(first, second);
    EXPECT_EQ(both.voltage.value(), 13.0);
    EXPECT_EQ(both.temperature.value(), 21.0);
    EXPECT_EQ(both.heartbeat, 7);
    EXPECT_FALSE(both.current.known());
}

TEST(SunspecPoints, ScaleFactorsBeyondTenAreNone) {
    const std::vector<Word> words{1, 10, 11, negative(-10), negative(-11)};
    const Points points(words);
    EXPECT_EQ(points.scale_factor(1), 10);
    EXPECT_EQ(points.scale_factor(2), std::nullopt);
    EXPECT_EQ(points.scale_factor(3), -10);
    EXPECT_EQ(points.scale_factor(4), std::nullopt);
    EXPECT_EQ(points.scale_factor(5), std::nullopt) << "beyond the end";
}

TEST(SunspecPoints, LongWordsAreHighFirst) {
    const std::vector<Word> words{0x0001, 0x86A0, 0xFFFF, 0xFFFF};
    EXPECT_EQ(Points(words).unsigned32(0), 100'000U);
    EXPECT_EQ(Points(words).unsigned32(2), std::nullopt);
    EXPECT_EQ(Points(words).unsigned32(3), std::nullopt) << "half beyond the end";
}

// A device as its registers: what is not there is not answered.
class Device {
public:
    void put(std::size_t address, const std::vector<Word>& words) {
        for (std::size_t i = 0; i < words.size(); ++i) registers_[address + i] = words[i];
    }
    [[nodiscard]] RegisterReader reader() const {
        return [this](std::uint16_t address, std::uint16_t words) {
            std::vector<Word> found;
            for (std::size_t at = address; at < std::size_t{address} + words; ++at) {
                const auto word = registers_.find(at);
                if (word == registers_.end()) break;
                found.push_back(word->second);
            }
            return found;
        };
    }

private:
    std::map<std::size_t, Word> registers_;
};

Device device_at(std::size_t base) {
    Device device;
    device.put(base, {0x5375, 0x6E53});  // "SunS"
    device.put(base + 2, model(1, 66, {}));
    device.put(base + 2 + 68, battery_image());
    device.put(base + 2 + 68 + 64, {0xFFFF, 0});
    return device;
}

TEST(SunspecChain, IsFoundAtEachBase) {
    for (const std::uint16_t base : bases) {
        const auto device = device_at(base);
        const auto models = find_models(device.reader());
        ASSERT_TRUE(models) << models.error();
        EXPECT_THAT(*models, ElementsAre(Model{1, static_cast<std::uint16_t>(base + 2), 66},
                                         Model{802, static_cast<std::uint16_t>(base + 70), 62}));
    }
}

TEST(SunspecChain, TheFirstBaseIsTakenFirst) {
    auto device = device_at(0);
    device.put(40000, {0x5375, 0x6E53, 0xFFFF});
    EXPECT_THAT(*find_models(device.reader()), IsEmpty());
}

TEST(SunspecChain, NoMarkerNoModels) {
    Device device;
    device.put(40000, {0x5375, 0x6E54});
    EXPECT_THAT(find_models(device.reader()).error(), HasSubstr("no SunSpec marker"));
}

TEST(SunspecChain, ABrokenChainIsRefused) {
    Device device;
    device.put(40000, {0x5375, 0x6E53, 802, 62});
    EXPECT_THAT(find_models(device.reader()).error(), HasSubstr("break off at register 40066"));
}

TEST(SunspecChain, AnEndlessChainIsRefused) {
    const RegisterReader zeros = [](std::uint16_t address, std::uint16_t) {
        return address == 40000 ? std::vector<Word>{0x5375, 0x6E53} : std::vector<Word>{0, 0};
    };
    EXPECT_THAT(find_models(zeros).error(), HasSubstr("more than 64 models"));
    const RegisterReader large = [](std::uint16_t address, std::uint16_t) {
        return address == 40000 ? std::vector<Word>{0x5375, 0x6E53} : std::vector<Word>{1, 0xFFFF};
    };
    EXPECT_THAT(find_models(large).error(), HasSubstr("beyond register 65535"));
}

}  // namespace
}  // namespace amphora::sunspec
