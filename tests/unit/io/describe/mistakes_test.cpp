// Each kind of mistake that a description can have: where it is said to be, and what is said of it.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <string>

#include "io/describe/describe.hpp"

namespace amphora::describe {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::StartsWith;

Mistakes mistakes_of(std::string_view text) {
    const auto described = describe_text(text);
    return described ? Mistakes{} : described.error();
}

std::vector<std::string> lines_of(const Mistakes& mistakes) {
    std::vector<std::string> lines;
    for (const auto& mistake : mistakes) lines.push_back(to_text(mistake, "van.toml"));
    return lines;
}

std::vector<std::string> lines_of(std::string_view text) { return lines_of(mistakes_of(text)); }

// What a battery needs, as one line, so that the lines that follow are easy to count.
const std::string inline_lfp = "battery = {chemistry = \"lfp\", design_capacity_ah = 200}\n";

std::string with_battery(const std::string& keys) {
    return "[battery]\nchemistry = \"lfp\"\ndesign_capacity_ah = 200\n" + keys;
}

struct Case {
    std::string name;
    std::string text;
    std::string said;  // how the one line about it begins
    friend void PrintTo(const Case& c, std::ostream* out) { *out << c.name; }
};

class OneMistake : public testing::TestWithParam<Case> {};

TEST_P(OneMistake, IsFoundAlone) {
    const auto lines = lines_of(GetParam().text);
    ASSERT_EQ(lines.size(), 1U) << testing::PrintToString(lines);
    EXPECT_THAT(lines[0], StartsWith("van.toml:" + GetParam().said));
}

INSTANTIATE_TEST_SUITE_P(
    Values, OneMistake,
    testing::Values(
        Case{"WordNearAnother", "[battery]\nchemistry = \"lfpp\"\ndesign_capacity_ah = 200\n",
             "2:13: battery.chemistry: expected one of \"lfp\", \"agm\", \"gel\", \"flooded\", \"nmc\", \"nca\" or "
             "\"lto\", found \"lfpp\"; did you mean \"lfp\"?"},
        Case{"WordAbbreviated", "[battery]\nchemistry = \"LiFePO4\"\ndesign_capacity_ah = 200\n",
             "2:13: battery.chemistry: expected one of \"lfp\", \"agm\", \"gel\", \"flooded\", \"nmc\", \"nca\" or "
             "\"lto\", found \"LiFePO4\"; did you mean \"lfp\"?"},
        Case{"WordThatIsANumber", "[battery]\nchemistry = 4\ndesign_capacity_ah = 200\n",
             "2:13: battery.chemistry: expected one of \"lfp\", \"agm\", \"gel\", \"flooded\", \"nmc\", \"nca\" or "
             "\"lto\", found 4"},
        Case{"NumberInQuotes", "[battery]\nchemistry = \"lfp\"\ndesign_capacity_ah = \"200 Ah\"\n",
             "3:22: battery.design_capacity_ah: expected a number from 0.1 to 100000 Ah, found \"200 Ah\"; write the "
             "number alone, without quotes or unit"},
        Case{"NumberThatIsAList", "[battery]\nchemistry = \"lfp\"\ndesign_capacity_ah = [200]\n",
             "3:22: battery.design_capacity_ah: expected a number from 0.1 to 100000 Ah, found a list of 1"},
        Case{"NumberThatIsATable", with_battery("reserve = {part = 0.2}\n"),
             "4:11: battery.reserve: expected a number from 0 to 0.9, found a table"},
        Case{"NumberThatIsABoolean", with_battery("reserve = true\n"),
             "4:11: battery.reserve: expected a number from 0 to 0.9, found true"},
        Case{"NumberThatIsADate", with_battery("reserve = 2024-01-31\n"),
             "4:11: battery.reserve: expected a number from 0 to 0.9, found the date 2024-01-31"},
        Case{"NumberThatIsATime", with_battery("reserve = 12:30:00\n"),
             "4:11: battery.reserve: expected a number from 0 to 0.9, found a time"},
        Case{"ReserveInPercent", with_battery("reserve = 20\n"),
             "4:11: battery.reserve: expected a number from 0 to 0.9, found 20; 20 % is written 0.2"},
        Case{"ReserveTooHigh", with_battery("reserve = 0.95\n"),
             "4:11: battery.reserve: expected a number from 0 to 0.9, found 0.95"},
        Case{"ReserveBelowNothing", with_battery("reserve = -0.1\n"),
             "4:11: battery.reserve: expected a number from 0 to 0.9, found -0.1"},
        Case{"NotANumber", with_battery("reserve = nan\n"),
             "4:11: battery.reserve: expected a number from 0 to 0.9, found nan"},
        Case{"Infinite", with_battery("rated_over_h = inf\n"),
             "4:16: battery.rated_over_h: expected a number from 0.1 to 240 h, found inf"},
        Case{"NoCapacityAtAll", "[battery]\nchemistry = \"lfp\"\ndesign_capacity_ah = 0\n",
             "3:22: battery.design_capacity_ah: expected a number from 0.1 to 100000 Ah, found 0"},
        Case{"WholeNumberWithAPoint", with_battery("cells_in_series = 4.0\n"),
             "4:19: battery.cells_in_series: expected a whole number from 1 to 400, found 4.0"},
        Case{"TextThatIsANumber", inline_lfp + "[system]\nname = 12\n",
             "3:8: system.name: expected text in quotes, 1 to 80 characters, found 12"},
        Case{"TextThatIsEmpty", inline_lfp + "[system]\nname = \"\"\n",
             "3:8: system.name: expected text in quotes, 1 to 80 characters, found \"\""},
        Case{"TextWithControlCharacters", inline_lfp + "[system]\nname = \"a\\u001b[31m\"\n",
             "3:8: system.name: expected text in quotes, 1 to 80 characters, found \"a\\x1b[31m\""},
        Case{"DateInQuotes", with_battery("installed = \"2024-03-16\"\n"),
             "4:13: battery.installed: expected a date without quotes, as 2024-05-31, found \"2024-03-16\""},
        Case{"ItemOfAList", with_battery("[battery.ocv]\nstate_of_charge = [0, 0.5, 100]\nvoltage_v = [3, 3.1, 3.2]\n"),
             "5:28: battery.ocv.state_of_charge[3]: expected a number from 0 to 1, found 100"},
        Case{"ListThatIsANumber", with_battery("[battery.ocv]\nstate_of_charge = 1\nvoltage_v = [3, 3.2]\n"),
             "5:19: battery.ocv.state_of_charge: expected a list of numbers, each from 0 to 1, found 1"},
        Case{"OtherFormat", "format = 2\nnew_key = 1\n",
             "1:10: format: expected 1, the only format that this program reads, found 2"},
        Case{"FormatInQuotes", "format = \"1\"\n" + inline_lfp, "1:10: format: expected a whole number 1, found \"1\""},
        Case{"ZoneThatIsNoName", inline_lfp + "[system]\nzone = \"UTC 2\"\n",
             "3:8: system.zone: expected an IANA zone name as \"Europe/Lisbon\" or \"UTC\", found \"UTC 2\""}),
    [](const auto& one) { return one.param.name; });

INSTANTIATE_TEST_SUITE_P(
    Names, OneMistake,
    testing::Values(
        Case{"KeyWithATypo", with_battery("reserv = 0.2\n"),
             "4:1: battery.reserv: not a key of [battery], expected one of \"chemistry\", \"design_capacity_ah\", "
             "\"rated_over_h\", \"cells_in_series\", \"reserve\", \"installed\", \"strings\", \"short_circuit_a\", "
             "\"most_charge_a\", \"most_discharge_a\", \"most_surge_a\", \"management_system\", \"string_fuses\", "
             "\"heated\", "
             "\"coldest_c\", \"warmest_c\", \"price\", \"full\" or \"ocv\"; did you mean "
             "\"reserve\"?"},
        Case{"KeyOfAnotherTable", inline_lfp + "[system]\nreserve = 0.2\n",
             "3:1: system.reserve: not a key of [system], expected one of \"name\", \"nominal_voltage_v\", \"record\" "
             "or "
             "\"zone\"; did you mean \"battery.reserve\"?"},
        Case{"TableWithATypo", inline_lfp + "[sytem]\n",
             "2:2: sytem: not a key at the top of the file, expected one of \"format\", \"system\", \"place\", "
             "\"battery\", \"meter\", \"appliance\", \"circuit\", \"inverter\", \"charger\", \"climate\", \"stay\", "
             "\"wishes\", \"source\", \"live\", \"broker\", \"guard\", \"relay\" or \"notice\"; did you mean "
             "\"system\"?"},
        Case{"TableUnheardOf", inline_lfp + "[kitchen]\nhob = 2000\n",
             "2:2: kitchen: not a key at the top of the file, expected one of \"format\", \"system\", \"place\", "
             "\"battery\", \"meter\", \"appliance\", \"circuit\", \"inverter\", \"charger\", \"climate\", \"stay\", "
             "\"wishes\", \"source\", \"live\", \"broker\", \"guard\", \"relay\" or \"notice\""},
        Case{"KeyInAnotherCase", with_battery("RESERVE = 0.2\n"), "4:1: battery.RESERVE: not a key of [battery]"},
        Case{"KeyWithoutAName", inline_lfp + "\"\" = {}\n", "2:1: not a key at the top of the file"},
        Case{"KeyThatLooksLikeAPath", "\"battery.full\" = {voltage_v = 14}\n" + inline_lfp,
             "1:1: battery.full: not a key at the top of the file"},
        Case{"KeyWithControlCharacters", with_battery("\"\\u0007\" = 0.2\n"),
             "4:1: battery.\\x07: not a key of [battery]"},
        Case{"TableThatIsANumber", inline_lfp + "system = 12\n", "2:10: system: expected the table [system], found 12"},
        Case{"BatteryThatIsANumber", "battery = 12\n", "1:11: battery: expected the table [battery], found 12"},
        Case{"TableThatIsRepeated", inline_lfp + "[[system]]\n",
             "2:1: system: expected the table [system], found a list of 1"},
        Case{"RepeatedTableThatIsNot", inline_lfp + "[meter]\nname = \"shunt\"\n",
             "2:1: meter: expected [[meter]] with two brackets, found a table"}),
    [](const auto& one) { return one.param.name; });

INSTANTIATE_TEST_SUITE_P(
    Missing, OneMistake,
    testing::Values(Case{"Capacity", "\n[battery]\nchemistry = \"agm\"\n",
                         "2:1: battery.design_capacity_ah: missing, expected a number from 0.1 to 100000 Ah"},
                    Case{"Longitude", inline_lfp + "[place]\nlatitude = 50\n",
                         "2:1: place.longitude: missing, expected a number from -180 to 180 degrees"},
                    Case{"HalfACurve", with_battery("[battery.ocv]\nvoltage_v = [3.0, 3.4]\n"),
                         "4:1: battery.ocv.state_of_charge: missing, expected a list of numbers, each from 0 to 1"},
                    Case{"RatedCurve", inline_lfp + "[[meter]]\nrated_drop_mv = 75\n",
                         "3:17: meter[1].rated_drop_mv: expected meter[1].rated_current_a with it"},
                    Case{"RatedDrop", inline_lfp + "[[meter]]\nrated_current_a = 300\n",
                         "3:19: meter[1].rated_current_a: expected meter[1].rated_drop_mv with it"}),
    [](const auto& one) { return one.param.name; });

INSTANTIATE_TEST_SUITE_P(
    Together, OneMistake,
    testing::Values(
        Case{"SixCellsOfLfp", with_battery("cells_in_series = 6\n"),
             "4:19: battery.cells_in_series: expected 4 cells for 12 V of lfp, found 6: 6 cells of 3.2 V make "
             "19.2 V"},
        Case{"FourCellsOfLeadAcid",
             "[battery]\nchemistry = \"flooded\"\ndesign_capacity_ah = 200\ncells_in_series = 4\n",
             "4:19: battery.cells_in_series: expected 6 cells for 12 V of flooded, found 4: 4 cells of 2 V make 8 V"},
        Case{"FourCellsFor24Volt", "[system]\nnominal_voltage_v = 24\n" + with_battery("cells_in_series = 4\n"),
             "6:19: battery.cells_in_series: expected 8 cells for 24 V of lfp, found 4"},
        Case{"VoltageThatNoCellsMake", inline_lfp + "[system]\nnominal_voltage_v = 5\n",
             "3:21: system.nominal_voltage_v: expected another nominal voltage for 5 V of lfp, found 2"},
        Case{"FullVoltageOfAnotherSystem", with_battery("[battery.full]\nvoltage_v = 28.4\n"),
             "5:13: battery.full.voltage_v: expected 13.2 to 15 V for 4 cells of lfp, found 28.4 V, which is "
             "7.1 V per "
             "cell"},
        Case{"FullVoltageOfACell", with_battery("[battery.full]\nvoltage_v = 3.45\n"),
             "5:13: battery.full.voltage_v: expected 13.2 to 15 V for 4 cells of lfp, found 3.45 V"},
        Case{"FullCurrentThatIsNoTail", with_battery("[battery.full]\ncurrent_below_a = 80\n"),
             "5:19: battery.full.current_below_a: expected at most 40 A, a fifth of the capacity per hour, found 80 A"},
        Case{"CurveOfUnequalLength",
             with_battery("[battery.ocv]\nstate_of_charge = [0.0, 0.5, 1.0]\nvoltage_v = [2.6, 3.6]\n"),
             "6:13: battery.ocv.voltage_v: expected 3 values, one for each state_of_charge, found 2"},
        Case{"CurveOfOnePoint", with_battery("[battery.ocv]\nstate_of_charge = [0.0]\nvoltage_v = [2.6]\n"),
             "6:13: battery.ocv.voltage_v: expected 2 to 1000 values, found 1"},
        Case{"CurveThatFalls",
             with_battery("[battery.ocv]\nstate_of_charge = [0.0, 0.5, 1.0]\nvoltage_v = [2.6, 3.3, 3.2]\n"),
             "6:24: battery.ocv.voltage_v[3]: expected more than 3.3, the one before it, found 3.2: the list must "
             "increase"},
        Case{"CurveThatStandsStill",
             with_battery("[battery.ocv]\nstate_of_charge = [0.0, 0.5, 1.0]\nvoltage_v = [3.2, 3.2, 3.3]\n"),
             "6:19: battery.ocv.voltage_v[2]: expected more than 3.2, the one before it, found 3.2"},
        Case{"CurveThatTurnsBack",
             with_battery("[battery.ocv]\nstate_of_charge = [0.0, 0.6, 0.5, 1.0]\nvoltage_v = [3, 3.1, 3.2, 3.3]\n"),
             "5:30: battery.ocv.state_of_charge[3]: expected more than 0.6, the one before it, found 0.5"},
        Case{"CurveThatBeginsLate",
             with_battery("[battery.ocv]\nstate_of_charge = [0.1, 1.0]\nvoltage_v = [2.6, 3.6]\n"),
             "5:20: battery.ocv.state_of_charge[1]: expected 0.0 as the first value, found 0.1"},
        Case{"CurveThatEndsEarly",
             with_battery("[battery.ocv]\nstate_of_charge = [0.0, 0.9]\nvoltage_v = [2.6, 3.6]\n"),
             "5:25: battery.ocv.state_of_charge[2]: expected 1.0 as the last value, found 0.9"},
        Case{"CurveOfAnotherChemistry",
             with_battery("[battery.ocv]\nstate_of_charge = [0.0, 1.0]\nvoltage_v = [3.0, 4.2]\n"),
             "6:19: battery.ocv.voltage_v[2]: expected 1.8 to 3.8 V for a cell of lfp, found 4.2 V"},
        Case{"TwoMetersOfOneName", inline_lfp + "[[meter]]\nname = \"a\"\n[[meter]]\nname = \"a\"\n",
             "5:8: meter[2].name: expected a name of its own, found \"a\" as on line 3"},
        Case{"TwoMetersWithoutName", inline_lfp + "[[meter]]\n[[meter]]\n",
             "3:1: meter[2].name: expected a name of its own, found \"shunt\" as on line 2"}),
    [](const auto& one) { return one.param.name; });

INSTANTIATE_TEST_SUITE_P(
    Toml, OneMistake,
    testing::Values(
        Case{"TextWithoutQuotes", "[battery]\nchemistry = lfp\n",
             "2:13: chemistry: not valid TOML: value: could not "
             "determine value type; text goes in double quotes"},
        Case{"DecimalComma", "[battery]\nreserve = 0,2\n", "2:12: reserve: not valid TOML:"},
        Case{"KeyGivenTwice", with_battery("reserve = 0.2\nreserve = 0.3\n"), "5:11: reserve: not valid TOML:"},
        Case{"TableGivenTwice", inline_lfp + "[system]\n[system]\n", "3:1: not valid TOML:"},
        Case{"TextNotClosed", "[system]\nname = \"van\n", "2:12: name: not valid TOML:"},
        Case{"NotUtf8", "[system]\nname = \"\xff\"\n", "2:8: name: not valid TOML: "},
        Case{"KeyOfManyParts", "x = 1\n[" + std::string(200'000, '.') + "]\n", "2:34: expected a key of a few parts"},
        Case{"TooLong", "#" + std::string(longest_description, 'x'), "1:1: expected at most 1048576 bytes"}),
    [](const auto& one) { return one.param.name; });

TEST(Mistakes, AllInOneRunInTheOrderOfTheFile) {
    const auto mistakes = mistakes_of(R"([battery]
reserve = 2
chemistry = "lifepo"
rated = 20
[[meter]]
name = 7
[sytem]
)");
    std::vector<std::string> paths;
    for (const auto& m : mistakes) paths.push_back(m.path);
    EXPECT_THAT(paths, ElementsAre("battery.design_capacity_ah", "battery.reserve", "battery.chemistry",
                                   "battery.rated", "meter[1].name", "sytem"));
    EXPECT_TRUE(std::ranges::is_sorted(mistakes, {}, [](const Mistake& m) { return std::pair(m.line, m.column); }));
}

TEST(Mistakes, AnEmptyFileLacksWhatIsRequired) {
    EXPECT_THAT(lines_of(""), ElementsAre(StartsWith("van.toml:1:1: battery.chemistry: missing, expected one of"),
                                          StartsWith("van.toml:1:1: battery.design_capacity_ah: missing, expected")));
}

TEST(Mistakes, TheAssumedVoltageIsNamedWhenTheCellsContradictIt) {
    EXPECT_THAT(lines_of(with_battery("cells_in_series = 8\n")),
                ElementsAre(HasSubstr("is system.nominal_voltage_v missing? 12 is assumed")));
}

TEST(Mistakes, CellsSoldUnderOneVoltageAreAllRight) {
    const auto cells = [](const std::string& chemistry, int volts, int n) {
        return describe_text("[system]\nnominal_voltage_v = " + std::to_string(volts) + "\n[battery]\nchemistry = \"" +
                             chemistry + "\"\ndesign_capacity_ah = 100\ncells_in_series = " + std::to_string(n) + "\n")
            .has_value();
    };
    EXPECT_TRUE(cells("lfp", 48, 15));
    EXPECT_TRUE(cells("lfp", 48, 16));
    EXPECT_FALSE(cells("lfp", 48, 14));
    EXPECT_TRUE(cells("nmc", 12, 3));
    EXPECT_TRUE(cells("nmc", 12, 4));
    EXPECT_TRUE(cells("lto", 12, 5));
    EXPECT_TRUE(cells("lto", 12, 6));
    EXPECT_FALSE(cells("agm", 12, 5));
    EXPECT_FALSE(cells("agm", 12, 7));
}

TEST(Mistakes, DotsInTextAndCommentsAreNoKeys) {
    const std::string dots(100, '.');
    EXPECT_TRUE(describe_text("# " + dots + "\n" + inline_lfp + "[system]\nname = '" + dots.substr(0, 70) + "'\n"));
    EXPECT_TRUE(describe_text(inline_lfp + "[system]\nrecord = \"\"\"a\\\"" + dots + "\"\"\"\n"));
}

TEST(Mistakes, FilesThatCannotBeRead) {
    const auto missing = describe_file("/nowhere/van.toml");
    ASSERT_FALSE(missing);
    EXPECT_THAT(lines_of(missing.error()), ElementsAre("van.toml: cannot be opened: No such file or directory"));
    EXPECT_TRUE(is_unreadable(missing.error().front()));
    const auto folder = describe_file("/");
    ASSERT_FALSE(folder);
    EXPECT_THAT(lines_of(folder.error()), ElementsAre("van.toml: cannot be read: Is a directory"));
}

}  // namespace
}  // namespace amphora::describe
