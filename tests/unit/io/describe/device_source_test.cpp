// Sources of sysfs, Modbus, SunSpec, RV-C and MQTT: from text to System, and every mistake in them named.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <string>

#include "io/describe/describe.hpp"
#include "io/describe/json.hpp"

namespace amphora::describe {
namespace {

using testing::HasSubstr;

const std::string device_battery = "[battery]\nchemistry = \"lfp\"\ndesign_capacity_ah = 200\n";

std::string source(std::string_view kind, std::string_view rest) {
    return fmt::format("{}[[source]]\nname = \"a\"\nkind = \"{}\"\n{}", device_battery, kind, rest);
}

TEST(DeviceSources, ModbusRegisters) {
    const auto described = describe_text(
        source("modbus",
               "at = \"/dev/ttyUSB0\"\ndevice = 7\ntimeout_s = 0.25\nbridge = 4\n[[source.channel]]\nmeasures = "
               "\"current\"\naddress = 40\nbank = \"input\"\ntype = \"s32\"\norder = \"cdab\"\nno_value = 2147483647\n"
               "[[source.channel]]\nmeasures = \"voltage\"\naddress = 65535\n"));
    ASSERT_TRUE(described) << described.error().front().message;
    const auto& live = described->system.live;
    EXPECT_EQ(live.sources[0].modbus.number, 7);
    EXPECT_EQ(live.sources[0].modbus.timeout, Second(0.25));
    EXPECT_EQ(live.sources[0].modbus.bridged, 4);
    const auto& spot = live.channels[0].spot;
    EXPECT_EQ(spot.address, 40);
    EXPECT_EQ(spot.bank, described::RegisterBank::input);
    EXPECT_EQ(spot.type, described::RegisterType::s32);
    EXPECT_EQ(spot.order, described::WordOrder::cdab);
    EXPECT_EQ(spot.no_value, 2147483647);
    EXPECT_EQ(live.channels[1].spot.no_value, -1) << "not given";
    const auto json = to_json(described->system)["source"][0]["channel"];
    EXPECT_EQ(json[0]["address"], 40);
    EXPECT_TRUE(!json[1].contains("no_value") || json[1]["no_value"].is_null());
}

TEST(DeviceSources, BusMessagesAndTopics) {
    const auto described = describe_text(
        source("rvc",
               "at = \"can0\"\n[[source.channel]]\nmeasures = \"current\"\nmessage = \"solar\"\ninstance = 2\n") +
        "[broker]\nhost = \"boat\"\n[[source]]\nname = \"b\"\nkind = \"mqtt\"\n[[source.channel]]\nmeasures = "
        "\"voltage\"\ntopic = \"boat/volts\"\nfield = \"/0/a~1b\"\n");
    ASSERT_TRUE(described) << described.error().front().message;
    const auto& live = described->system.live;
    EXPECT_EQ(live.channels[0].message, described::BusMessage::solar);
    EXPECT_EQ(live.channels[0].instance, 2);
    EXPECT_EQ(live.channels[1].topic, "boat/volts");
}

struct WrongDevice {
    std::string text;
    const char* path;
    const char* message;
};

TEST(DeviceSources, MistakesAreNamed) {
    const std::string channel = "[[source.channel]]\nmeasures = \"voltage\"\n";
    const std::string meter = "[[meter]]\nname = \"house\"\n";
    const std::string other = "[[source]]\nname = \"b\"\n";
    for (const auto& w : {
             WrongDevice{source("modbus", "at = \"x\"\n" + channel), "source[1].channel[1].address", "address with it"},
             WrongDevice{source("modbus", "at = \"x\"\n" + channel + "address = 65535\ntype = \"f32\"\n"),
                         "source[1].channel[1].address", "ends at register 65535"},
             WrongDevice{source("modbus", channel + "address = 0\n"), "source[1]", "at with it"},
             WrongDevice{source("modbus", "at = \"/dev/bus\"\nbaud = 9600\n" + channel + "address = 0\n" + other +
                                              "kind = \"sunspec\"\nat = \"/dev/bus\"\nbaud = 19200\n" + channel),
                         "source[2].baud",
                         "expected 9600, as source \"a\" has it on the same port /dev/bus, found 19200"},
             WrongDevice{
                 source("modbus", "at = \"/dev/bus\"\nparity = \"even\"\n" + channel + "address = 0\n" +
                                      "[[relay]]\nname = \"r\"\nkind = \"modbus\"\nat = \"/dev/bus\"\ncoil = 1\n"),
                 "relay[1].parity", "expected \"even\", as source \"a\" has it"},
             WrongDevice{source("serial", "at = \"/dev/bus\"\n" + channel + other +
                                              "kind = \"sunspec\"\nat = \"/dev/bus\"\n" + channel),
                         "source[2].at", "expected a port of its own"},
             WrongDevice{source("hwmon", "at = \"x\"\n" + channel), "source[1].channel[1].field", "in1_input"},
             WrongDevice{source("hwmon", "at = \"x\"\n" + channel + "field = \"in1_max\"\n"),
                         "source[1].channel[1].field", "found \"in1_max\""},
             WrongDevice{source("iio", "at = \"x\"\n" + channel + "field = \"in1_input\"\n"),
                         "source[1].channel[1].field", "in_temp_input"},
             WrongDevice{source("hwmon", "at = \"x\"\n" + channel + "field = \"in1_input\"\nunit = \"mV\"\n"),
                         "source[1].channel[1].unit", "knows its own"},
             WrongDevice{
                 source("hwmon", "at = \"x\"\nmeter = \"hous\"\n" + channel + "field = \"in1_input\"\n" + meter),
                 "source[1].meter", "did you mean \"house\"?"},
             WrongDevice{source("hwmon", channel + "field = \"in1_input\"\n"), "source[1]", "at with it"},
             WrongDevice{source("sunspec", "at = \"x\"\n[[source.channel]]\nmeasures = \"power\"\n"),
                         "source[1].channel[1].measures", "all that is told there"},
             WrongDevice{source("rvc", "at = \"can0\"\n" + channel + "message = \"load\"\n"),
                         "source[1].channel[1].measures", "expected one of \"current\""},
             WrongDevice{source("mqtt", channel + "topic = \"a\"\n"), "source[1].kind", "host of [broker]"},
             WrongDevice{source("mqtt", channel + "[broker]\nhost = \"b\"\n"), "source[1].channel[1].topic",
                         "topic with it"},
             WrongDevice{source("mqtt", channel + "topic = \"a/+/b\"\n[broker]\nhost = \"b\"\n"),
                         "source[1].channel[1].topic", "without wildcards"},
             WrongDevice{source("mqtt", channel + "topic = \"a\"\nfield = \"/a~b\"\n[broker]\nhost = \"b\"\n"),
                         "source[1].channel[1].field", "JSON pointer"},
         }) {
        const auto described = describe_text(w.text);
        ASSERT_FALSE(described) << w.text;
        const auto& mistakes = described.error();
        const auto named = std::ranges::find(mistakes, w.path, &Mistake::path);
        ASSERT_NE(named, mistakes.end()) << w.text << mistakes.front().path << ": " << mistakes.front().message;
        EXPECT_THAT(named->message, HasSubstr(w.message)) << w.text;
    }
}

}  // namespace
}  // namespace amphora::describe
