// RV-C (Recreation Vehicle Industry Association), full layer: the special values of 3.2.3, the formats of table 5.3 and
// the data groups of chapter 6, known from texts that quote them. The frames are computed by those tables; "worked
// example" marks those whose bytes were worked out beforehand and by hand.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <string_view>

#include "io/source/rvc/candump_line.hpp"
#include "io/source/rvc/fields.hpp"
#include "io/source/rvc/messages.hpp"

namespace amphora::rvc {
namespace {

CanFrame frame(std::string_view text) { return read_candump_line("can0 " + std::string(text))->frame; }

template <class Kind>
Kind message(std::string_view text) {
    const auto found = message_in(frame(text));
    if (!found || !std::holds_alternative<Kind>(*found)) {
        ADD_FAILURE() << text << " is another message, or none";
        return {};
    }
    return std::get<Kind>(*found);
}

TEST(RvcIdentifier, DcSourceStatus1FromAddress80) {  // worked example: 6 << 26 | 1FFFDh << 8 | 80h
    const auto id = identifier_of(0x19FFFD80);
    EXPECT_EQ(id, (Identifier{6, 0x1FFFD, 0x80}));
}

TEST(RvcIdentifier, AnAddressedGroupDoesNotHoldTheReceiver) {  // 3.3.2: ADDRESS_CLAIMED is EE00h, here to FFh
    EXPECT_EQ(identifier_of(0x18EEFF81), (Identifier{6, 0xEE00, 0x81}));
}

TEST(RvcDcSource, Status1Discharging) {  // worked example: 13.25 V, 12.345 A out of the battery, priority 120
    const auto m = message<DcSource1>("19FFFD80#0178090139C43577");
    EXPECT_EQ(m.instance, 1);
    EXPECT_EQ(m.priority, 120);
    EXPECT_DOUBLE_EQ(m.voltage.value(), 13.25);
    EXPECT_DOUBLE_EQ(m.current.value(), -12.345);
}

TEST(RvcDcSource, Status1Charging) {  // worked example: 13.60 V, 20 A into the battery
    const auto m = message<DcSource1>("19FFFD80#01781001E0453577");
    EXPECT_DOUBLE_EQ(m.voltage.value(), 13.60);
    EXPECT_DOUBLE_EQ(m.current.value(), 20.0);
}

TEST(RvcDcSource, Status2) {  // worked example: 25 C, 76.5 %, 600 min to empty
    const auto m = message<DcSource2>("19FFFC80#01784025995802FC");
    EXPECT_DOUBLE_EQ(m.temperature.value(), 25.0);
    EXPECT_DOUBLE_EQ(m.state_of_charge.value(), 0.765);
    EXPECT_DOUBLE_EQ(m.remaining.value(), 36'000.0);
    EXPECT_FALSE(m.until_full);
    EXPECT_TRUE(message<DcSource2>("19FFFC80#01784025995802FD").until_full);
    EXPECT_FALSE(message<DcSource2>("19FFFC80#01784025995802FF").until_full) << "not said: to empty";
}

TEST(RvcDcSource, Status3) {  // 98 %, 154 Ah left, 96 %, 40 mV
    const auto m = message<DcSource3>("19FFFB80#0178C49A00C02800");
    EXPECT_DOUBLE_EQ(m.state_of_health.value(), 0.98);
    EXPECT_DOUBLE_EQ(m.remaining.value(), 154.0);
    EXPECT_DOUBLE_EQ(m.relative_capacity.value(), 0.96);
    EXPECT_DOUBLE_EQ(m.ripple.value(), 0.040);
}

TEST(RvcDcSource, Status4) {  // bulk, 14.2 V, 60 A
    const auto m = message<DcSource4>("19FEC980#0178021C01B081F3");
    EXPECT_EQ(m.wanted, ChargerState::bulk);
    EXPECT_DOUBLE_EQ(m.voltage.value(), 14.2);
    EXPECT_DOUBLE_EQ(m.current.value(), 60.0);
}

TEST(RvcDcSource, Status5KnowsMillivolts) {  // 13.247 V; what stands behind it is disputed and left alone
    EXPECT_DOUBLE_EQ(message<DcSource5>("19FEC880#0178BF330000007D").voltage.value(), 13.247);
}

TEST(RvcDcSource,
     Status6) {  // bits from the least: high voltage yes, its disconnect no, low voltage error, its unknown
    const auto m = message<DcSource6>("19FEC780#0178E1FFFFFFFFFF");
    EXPECT_EQ(m.voltage_high, true);
    EXPECT_EQ(m.off_for_high_voltage, false);
    EXPECT_EQ(m.voltage_low, std::nullopt);
    EXPECT_EQ(m.off_for_low_voltage, std::nullopt);
}

TEST(RvcCharger, StatusIsWhatItWants) {  // 14.4 V, 30 A, 75 %, absorption
    const auto m = message<ChargerWish>("19FFC742#012001587F9603FF");
    EXPECT_FALSE(m.solar);
    EXPECT_DOUBLE_EQ(m.voltage.value(), 14.4);
    EXPECT_DOUBLE_EQ(m.current.value(), 30.0);
    EXPECT_DOUBLE_EQ(m.of_most.value(), 0.75);
    EXPECT_EQ(m.state, ChargerState::absorption);
}

TEST(RvcCharger, Status2IsWhatItMeasures) {  // charger 2 on battery 1: 14.35 V, 24.5 A, 47 C
    const auto m = message<ChargerOutput>("19FEA342#0201501F01EA7E57");
    EXPECT_EQ(m.instance, 2);
    EXPECT_EQ(m.battery, 1);
    EXPECT_DOUBLE_EQ(m.voltage.value(), 14.35);
    EXPECT_DOUBLE_EQ(m.current.value(), 24.5);
    EXPECT_DOUBLE_EQ(m.temperature.value(), 47.0);
}

TEST(RvcSolar, BatterySideAndArray) {
    const auto battery = message<ChargerOutput>("19FE8090#01FFFF0F012C7EFF");  // 13.55 V, 15 A
    EXPECT_TRUE(battery.solar);
    EXPECT_DOUBLE_EQ(battery.voltage.value(), 13.55);
    EXPECT_DOUBLE_EQ(battery.current.value(), 15.0);
    EXPECT_FALSE(battery.temperature.known());
    const auto array = message<SolarArray>("19FDFF90#01EE02787DFFFFFF");  // 37.5 V, 6 A
    EXPECT_DOUBLE_EQ(array.voltage.value(), 37.5);
    EXPECT_DOUBLE_EQ(array.current.value(), 6.0);
}

TEST(RvcLoad, LevelAndCurrent) {  // 100 %, 4.25 A
    const auto m = message<DcLoad>("19FFBD50#05FFC8FFFFFF557D");
    EXPECT_EQ(m.instance, 5);
    EXPECT_DOUBLE_EQ(m.level.value(), 1.0);
    EXPECT_DOUBLE_EQ(m.current.value(), 4.25);
}

TEST(RvcDateTime, IsADateAndATimeOfDay) {
    using namespace std::chrono;
    const auto m = message<DateTime>("19FFFF60#1803100715091EFF");
    EXPECT_EQ(m.date, 2024y / March / 16);
    EXPECT_EQ(m.of_day, 21h + 9min + 30s);
    EXPECT_EQ(message_in(frame("19FFFF60#180D100715091EFF")).error(), NoMessage::invalid) << "month 13";
    EXPECT_EQ(message_in(frame("19FFFF60#FFFFFFFFFFFFFFFF")).error(), NoMessage::invalid) << "not set";
}

// 3.2.3: FFh.. is "data not available", the code below it "error or out of range".
TEST(RvcSpecialValues, AreMissing) {
    for (const std::string_view data : {"01FFFFFFFFFFFFFF", "01FFFEFFFEFFFFFF", "01FFFDFFFDFFFFFF"}) {
        const auto m = message<DcSource1>("19FFFD80#" + std::string(data));
        EXPECT_EQ(m.instance, 1) << data;
        EXPECT_FALSE(m.voltage.known()) << data;
        EXPECT_FALSE(m.current.known()) << data;
    }
    const auto m = message<DcSource2>("19FFFC80#01FFFFFFFFFFFFFF");
    EXPECT_FALSE(m.temperature.known());
    EXPECT_FALSE(m.state_of_charge.known());
    EXPECT_FALSE(m.remaining.known());
}

TEST(RvcSpecialValues, TheEndsOfTheRangesAreValues) {  // table 5.3
    const std::vector<std::uint8_t> bytes{0xFA, 0xFA, 0xFA, 0xFA, 0xFB, 0xFA, 0x00, 0x00};
    const Fields fields(bytes);
    EXPECT_DOUBLE_EQ(fields.voltage(0).value(), 3212.5);
    EXPECT_DOUBLE_EQ(fields.current(0).value(), 1612.5);
    EXPECT_DOUBLE_EQ(fields.current(6).value(), -1600.0);
    EXPECT_DOUBLE_EQ(fields.share(0).value(), 1.25);
    EXPECT_FALSE(fields.voltage(4).known()) << "FAFBh";
    EXPECT_FALSE(fields.share(4).known()) << "FBh";
    EXPECT_DOUBLE_EQ(fields.temperature(6).value(), -40.0);
    EXPECT_DOUBLE_EQ(fields.fine_temperature(6).value(), -273.0);
    EXPECT_FALSE(fields.word(7).has_value()) << "beyond the end";
    EXPECT_FALSE(fields.long_word(5).has_value());
}

TEST(RvcNoMessage, IsExplained) {
    EXPECT_EQ(message_in(frame("19FFFD80#0078090139C43577")).error(), NoMessage::invalid) << "instance 0";
    EXPECT_EQ(message_in(frame("19FFFD80#FF78090139C43577")).error(), NoMessage::invalid) << "no instance";
    EXPECT_EQ(message_in(frame("19FFFD80#0178090139C435")).error(), NoMessage::truncated);
    EXPECT_EQ(message_in(frame("19FFFD80#")).error(), NoMessage::truncated);
    EXPECT_EQ(message_in(frame("19FECA80#0178090139C43577")).error(), NoMessage::other_group);
    EXPECT_EQ(message_in(frame("7FD#0178090139C43577")).error(), NoMessage::not_data) << "11 bits";
    EXPECT_EQ(message_in(frame("19FFFD80#R")).error(), NoMessage::not_data);
    EXPECT_EQ(message_in(frame("39FFFD80#0178090139C43577")).error(), NoMessage::not_data) << "an error frame";
}

TEST(RvcGroups, EachHasANameOfItsOwn) {
    auto groups = known_groups();
    EXPECT_THAT(groups, testing::Contains(0x1FFFDU));
    std::vector<std::string_view> names;
    for (const Dgn group : groups) names.push_back(name_of(group));
    std::ranges::sort(names);
    EXPECT_EQ(std::ranges::adjacent_find(names), names.end());
    EXPECT_FALSE(names.front().empty());
    EXPECT_TRUE(name_of(0x1FECA).empty());
}

}  // namespace
}  // namespace amphora::rvc
