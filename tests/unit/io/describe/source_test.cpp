// [[source]] and its channels, from text to System; and every mistake in them named.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <string>

#include "io/describe/describe.hpp"
#include "io/describe/json.hpp"

namespace amphora::describe {
namespace {

const std::string battery = "[battery]\nchemistry = \"lfp\"\ndesign_capacity_ah = 200\n";
const std::string two_sources =
    "[[charger]]\nname = \"cable\"\nkind = \"shore\"\ncurrent_a = 20\n"
    "[[source]]\nname = \"meter\"\nkind = \"serial\"\nat = \"/dev/ttyUSB0\"\nbaud = 19200\nevery_s = 0.5\n"
    "[[source.channel]]\nmeasures = \"current\"\nunit = \"mA\"\npositive = \"discharging\"\n"
    "[[source.channel]]\nmeasures = \"voltage\"\nscale = 2\n"
    "[[source]]\nname = \"charger\"\nkind = \"modbus\"\nat = \"10.0.0.2:502\"\n"
    "[[source.channel]]\nmeasures = \"current\"\nof = \"charger\"\nwhose = \"cable\"\naddress = 0\n";

TEST(Sources, KeepTheirChannels) {
    const auto described = describe_text(battery + two_sources);
    ASSERT_TRUE(described) << described.error().front().message;
    const Live& live = described->system.live;
    ASSERT_EQ(live.sources.size(), 2U);
    ASSERT_EQ(live.channels.size(), 3U);
    EXPECT_EQ(live.sources[0].serial.baud, 19200);
    EXPECT_EQ(live.sources[0].patience(), Second(5));
    EXPECT_EQ(live.sources[1].patience(), Second(5));
    EXPECT_EQ(live.channels[1].source, 0U);
    EXPECT_EQ(live.channels[2].source, 1U);
    EXPECT_EQ(live.channels[0].unit, "mA");
    EXPECT_FALSE(live.channels[0].positive_charging);
    EXPECT_EQ(live.channels[1].scale, 2.0);
    EXPECT_EQ(live.channels[2].whose, "cable");
}

TEST(Sources, AreNestedInJsonAsInTheFile) {
    const auto json = to_json(describe_text(battery + two_sources)->system);
    ASSERT_EQ(json["source"].size(), 2U);
    EXPECT_EQ(json["source"][0]["channel"].size(), 2U);
    EXPECT_EQ(json["source"][1]["channel"][0]["whose"], "cable");
}

struct WrongSource {
    const char* text;
    const char* path;
    const char* message;
};

TEST(Sources, MistakesAreNamed) {
    for (const WrongSource& w : {
             WrongSource{"[[source]]\nname = \"a\"\nkind = \"twin\"\n", "source[1]", "[[source.channel]]"},
             WrongSource{"[[source]]\nname = \"a\"\nkind = \"tcp\"\n[[source.channel]]\nmeasures = \"current\"\n",
                         "source[1]", "at with it"},
             WrongSource{"[[source]]\nname = \"a\"\nkind = \"twin\"\n[[source.channel]]\nmeasures = \"current\"\n"
                         "[[source]]\nname = \"a\"\nkind = \"twin\"\n[[source.channel]]\nmeasures = \"volts\"\n",
                         "source[2].channel[1].measures", "\"voltage\""},
             WrongSource{"[[source]]\nname = \"a\"\nkind = \"twin\"\n[[source.channel]]\nmeasures = \"current\"\n"
                         "[[source]]\nname = \"a\"\nkind = \"twin\"\n[[source.channel]]\nmeasures = \"current\"\n",
                         "source[2].name", "again"},
             WrongSource{"[[source]]\nname = \"a\"\nkind = \"twin\"\n[[source.channel]]\nof = \"battery\"\n",
                         "source[1].channel[1].measures", "missing"},
             WrongSource{"[[source]]\nname = \"a\"\nkind = \"twin\"\n[[source.channel]]\nmeasures = \"current\"\n"
                         "unit = \"V\"\n",
                         "source[1].channel[1].unit", "A, mA or uA"},
             WrongSource{"[[source]]\nname = \"a\"\nkind = \"twin\"\n[[source.channel]]\nmeasures = \"shunt-drop\"\n",
                         "source[1].channel[1].whose", "[[meter]]"},
             WrongSource{"[[source]]\nname = \"a\"\nkind = \"twin\"\n[[source.channel]]\nmeasures = \"current\"\n"
                         "of = \"charger\"\nwhose = \"roof\"\n",
                         "source[1].channel[1].whose", "[[charger]]"},
             WrongSource{"[[source]]\nname = \"a\"\nkind = \"stdin\"\nformat = \"pattern\"\n[[source.channel]]\n"
                         "measures = \"current\"\n",
                         "source[1].pattern", "no field"},
             WrongSource{"[[source]]\nname = \"a\"\nkind = \"stdin\"\nformat = \"pattern\"\npattern = \"{volts}\"\n"
                         "[[source.channel]]\nmeasures = \"voltage\"\nfield = \"volt\"\n",
                         "source[1].channel[1].field", "did you mean \"volts\""},
         }) {
        const auto described = describe_text(battery + w.text);
        const Mistakes found = described ? Mistakes{} : described.error();
        const bool hit = std::ranges::any_of(found, [&](const Mistake& m) {
            return m.path == w.path && m.message.find(w.message) != std::string::npos;
        });
        EXPECT_TRUE(hit) << w.text << (found.empty() ? "nothing" : found.front().path + ": " + found.front().message);
    }
}

}  // namespace
}  // namespace amphora::describe
