#include "io/describe/describe.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

namespace amphora::describe {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

// The smallest description that is accepted.
constexpr std::string_view smallest = R"(
[battery]
chemistry = "lfp"
design_capacity_ah = 200
)";

System system_of(std::string_view text) {
    const auto described = describe_text(text);
    if (described) return described->system;
    for (const auto& mistake : described.error()) ADD_FAILURE() << to_text(mistake, "text");
    return {};
}

const Note* note_on(const Described& described, std::string_view path) {
    for (const auto& note : described.notes)
        if (note.path == path) return &note;
    return nullptr;
}

TEST(Describe, TheWholeExample) {
    const auto s = system_of(R"(
format = 1
[system]
name = "Blue Heron"
nominal_voltage_v = 12
[battery]
chemistry = "lfp"            # lfp | agm | gel | flooded | nmc | nca | lto
design_capacity_ah = 200
rated_over_h = 5
cells_in_series = 4
reserve = 0.20
[battery.full]
voltage_v = 13.9
current_below_a = 8
for_s = 180
[battery.ocv]
state_of_charge = [0.0, 1.0]
voltage_v = [2.6, 3.6]
[[meter]]
name = "shunt"
rated_current_a = 300
rated_drop_mv = 75
)");
    EXPECT_EQ(s.name, "Blue Heron");
    EXPECT_EQ(s.nominal_voltage, Volt(12));
    EXPECT_EQ(s.battery.chemistry, Chemistry::lfp);
    EXPECT_EQ(s.battery.design_capacity, AmpHour(200));
    EXPECT_EQ(s.battery.rated_over, Hour(5));
    EXPECT_EQ(s.battery.cells_in_series, 4);
    EXPECT_EQ(s.battery.reserve, Fraction(0.2));
    EXPECT_EQ(s.battery.full.voltage, Volt(13.9));
    EXPECT_EQ(s.battery.full.current_below, Ampere(8));
    EXPECT_EQ(s.battery.full.held_for, Second(180));
    ASSERT_TRUE(s.battery.ocv);
    EXPECT_THAT(s.battery.ocv->state_of_charge, ElementsAre(Fraction(0), Fraction(1)));
    EXPECT_THAT(s.battery.ocv->voltage, ElementsAre(Volt(2.6), Volt(3.6)));
    ASSERT_EQ(s.meters.size(), 1U);
    EXPECT_EQ(s.meters[0].name, "shunt");
    EXPECT_DOUBLE_EQ(s.meters[0].rated_current.value(), 300);
    EXPECT_DOUBLE_EQ(s.meters[0].rated_drop.value(), 0.075);
    EXPECT_NEAR(s.meters[0].current(Volt(-0.025)).value(), -100.0, 1e-9) << "a third of the rated drop, discharging";
}

TEST(Describe, TheRestIsAssumedAndSaid) {
    const auto described = describe_text(smallest);
    ASSERT_TRUE(described);
    const auto& s = described->system;
    EXPECT_EQ(s.nominal_voltage, Volt(12));
    EXPECT_EQ(s.battery.cells_in_series, 4);
    EXPECT_EQ(s.battery.rated_over, Hour(5));
    EXPECT_EQ(s.battery.reserve, Fraction(0.2));
    EXPECT_DOUBLE_EQ(s.battery.full.voltage.value(), 13.9) << "3.475 V per cell";
    EXPECT_DOUBLE_EQ(s.battery.full.current_below.value(), 8) << "0.04 C";
    EXPECT_EQ(s.battery.full.held_for, Second(180));
    EXPECT_FALSE(s.battery.ocv);
    EXPECT_THAT(s.meters, IsEmpty());
    ASSERT_NE(note_on(*described, "format"), nullptr);
    EXPECT_EQ(note_on(*described, "format")->value, "1");
    EXPECT_EQ(note_on(*described, "battery.full.voltage_v")->value, "13.9 V");
    EXPECT_THAT(note_on(*described, "battery.full.voltage_v")->why, HasSubstr("lfp"));
    EXPECT_EQ(note_on(*described, "battery.chemistry"), nullptr);
}

TEST(Describe, WhatIsGivenIsNotAssumed) {
    const auto described = describe_text(std::string("format = 1\n") + std::string(smallest) + "reserve = 0.1\n");
    ASSERT_TRUE(described);
    EXPECT_EQ(note_on(*described, "format"), nullptr);
    EXPECT_EQ(note_on(*described, "battery.reserve"), nullptr);
    EXPECT_EQ(described->system.battery.reserve, Fraction(0.1));
}

struct ByChemistry {
    std::string word;
    int cells_at_12;
    int cells_at_24;
    int cells_at_48;
    double rated_over;
    double reserve;
};

class DefaultsByChemistry : public testing::TestWithParam<ByChemistry> {};

TEST_P(DefaultsByChemistry, CellsRatingAndReserve) {
    const auto& p = GetParam();
    for (const auto& [volts, cells] : {std::pair{12, p.cells_at_12}, {24, p.cells_at_24}, {48, p.cells_at_48}}) {
        const auto s = system_of("[system]\nnominal_voltage_v = " + std::to_string(volts) +
                                 "\n[battery]\nchemistry = \"" + p.word + "\"\ndesign_capacity_ah = 100\n");
        EXPECT_EQ(s.battery.cells_in_series, cells) << volts;
        EXPECT_EQ(s.battery.rated_over, Hour(p.rated_over));
        EXPECT_EQ(s.battery.reserve, Fraction(p.reserve));
    }
}

INSTANTIATE_TEST_SUITE_P(All, DefaultsByChemistry,
                         testing::Values(ByChemistry{"lfp", 4, 8, 16, 5, 0.2}, ByChemistry{"agm", 6, 12, 24, 20, 0.5},
                                         ByChemistry{"gel", 6, 12, 24, 20, 0.5},
                                         ByChemistry{"flooded", 6, 12, 24, 20, 0.5},
                                         ByChemistry{"nmc", 3, 7, 13, 5, 0.2}, ByChemistry{"nca", 3, 7, 13, 5, 0.2},
                                         ByChemistry{"lto", 5, 10, 20, 5, 0.2}),
                         [](const auto& one) { return one.param.word; });

TEST(Describe, OtherNominalVoltagesGiveTheirCells) {
    const auto cells = [](const std::string& volts) {
        return system_of("[system]\nnominal_voltage_v = " + volts + std::string(smallest)).battery.cells_in_series;
    };
    EXPECT_EQ(cells("3.2"), 1);
    EXPECT_EQ(cells("12.8"), 4);
    EXPECT_EQ(cells("25.6"), 8);
    EXPECT_EQ(cells("36"), 12);
    EXPECT_EQ(cells("51.2"), 16);
}

TEST(Describe, CellsThatAreAGuessAreSaidToBeOne) {
    const auto why = [](const std::string& chemistry) {
        const auto described =
            describe_text("[battery]\nchemistry = \"" + chemistry + "\"\ndesign_capacity_ah = 100\n");
        return note_on(*described, "battery.cells_in_series")->why;
    };
    EXPECT_EQ(why("nmc"), "12 V of cells of 3.6 V nominal (nmc); count yours, this may also be 4");
    EXPECT_EQ(why("agm"), "12 V of cells of 2 V nominal (agm)");
    EXPECT_EQ(why("lfp"), "12 V of cells of 3.2 V nominal (lfp)");
}

TEST(Describe, FullEvidenceGrowsWithCellsAndCapacity) {
    const auto s =
        system_of("[system]\nnominal_voltage_v = 24\n[battery]\nchemistry = \"agm\"\ndesign_capacity_ah = 220\n");
    EXPECT_NEAR(s.battery.full.voltage.value(), 12 * 2.37, 1e-9);
    EXPECT_NEAR(s.battery.full.current_below.value(), 2.2, 1e-9);
    EXPECT_EQ(s.battery.full.held_for, Second(3600));
}

TEST(Describe, OptionalKeys) {
    const auto s = system_of(R"(
[system]
record = "readings/van.amphora"
zone = "Europe/Lisbon"
[place]
latitude = 38.7
longitude = -9.1
[battery]
chemistry = "lfp"
design_capacity_ah = 200
installed = 2024-03-16
)");
    EXPECT_EQ(s.record, "readings/van.amphora");
    EXPECT_EQ(s.zone, "Europe/Lisbon");
    ASSERT_TRUE(s.place);
    EXPECT_EQ(s.place->latitude, Degree(38.7));
    EXPECT_EQ(s.place->longitude, Degree(-9.1));
    EXPECT_EQ(s.place->altitude, Metre(0));
    using namespace std::chrono;
    EXPECT_EQ(s.battery.installed, std::optional(2024y / March / 16));
}

TEST(Describe, MetersKeepTheirOrder) {
    const auto s = system_of(std::string(smallest) +
                             "[[meter]]\nname = \"house\"\n[[meter]]\nname = \"engine\"\nrated_current_a = 500\n"
                             "rated_drop_mv = 50\n");
    ASSERT_EQ(s.meters.size(), 2U);
    EXPECT_EQ(s.meters[0].name, "house");
    EXPECT_FALSE(s.meters[0].rated_current.known());
    EXPECT_EQ(s.meters[1].name, "engine");
    EXPECT_NEAR((s.meters[1].rated_drop / s.meters[1].rated_current).value(), 100e-6, 1e-12);
}

TEST(Describe, WindowsLineEndsAndAByteOrderMark) {
    EXPECT_EQ(
        system_of("\xEF\xBB\xBF[battery]\r\nchemistry = \"gel\"\r\ndesign_capacity_ah = 90\r\n").battery.chemistry,
        Chemistry::gel);
}

TEST(Describe, TheSameTextGivesTheSame) {
    const auto bad = "[battery]\nchemistry = 1\nx = 2\n[y]\n";
    EXPECT_EQ(describe_text(bad).error(), describe_text(bad).error());
}

}  // namespace
}  // namespace amphora::describe
