// hwmon and IIO devices, as trees of files in a scratch folder.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

#include "support/scratch_folder.hpp"
#include "unit/io/live/bench.hpp"

namespace amphora::live {
namespace {

namespace fs = std::filesystem;
using testing::AllOf;
using testing::DoubleNear;
using testing::ElementsAre;
using testing::HasSubstr;

class SysfsSource : public testing::Test {
protected:
    // As the kernel does, a file changes as a whole.
    void write(const fs::path& file, std::string_view text) {
        const auto whole = root() / file;
        fs::create_directories(whole.parent_path());
        std::ofstream(whole.string() + ".new") << text << "\n";
        fs::rename(whole.string() + ".new", whole);
    }
    [[nodiscard]] fs::path root() const { return scratch_.path(); }
    [[nodiscard]] std::string source(std::string_view kind, std::string_view at) const {
        return fmt::format("[[source]]\nname = \"adc\"\nkind = \"{}\"\nat = \"{}\"\nroot = \"{}\"\nevery_s = 0.05\n",
                           kind, at, root().string());
    }

private:
    ScratchFolder scratch_;
};

constexpr std::string_view amplifier =
    "[[source.channel]]\nmeasures = \"voltage\"\nfield = \"in1_input\"\n"
    "[[source.channel]]\nmeasures = \"current\"\nfield = \"curr1_input\"\n";

TEST_F(SysfsSource, AShuntAmplifierOfHwmon) {
    write("class/hwmon/hwmon0/name", "shunt-adc");
    write("class/hwmon/hwmon0/in1_input", "13250");
    write("class/hwmon/hwmon0/curr1_input", "-12345");
    write("class/hwmon/hwmon0/shunt_resistor", "100");  // 50 mV at 500 A
    Bench bench(source("hwmon", "shunt-adc") + std::string(amplifier));
    ASSERT_TRUE(bench.run_until_samples(2)) << bench.source->health().trouble;
    EXPECT_THAT(bench.values(), ElementsAre(DoubleNear(13.25, 1e-9), DoubleNear(-12.345, 1e-9)));
    write("class/hwmon/hwmon0/curr1_input", "20000");
    EXPECT_TRUE(bench.run_until([&] { return bench.all.back().value == 20.0; }));
}

TEST_F(SysfsSource, AWrongShuntKeepsTheCurrentBackButNotTheVoltage) {
    write("class/hwmon/hwmon0/name", "shunt-adc");
    write("class/hwmon/hwmon0/in1_input", "13250");
    write("class/hwmon/hwmon0/curr1_input", "-123");
    write("class/hwmon/hwmon0/shunt_resistor", "10000");
    Bench bench(source("hwmon", "shunt-adc") + std::string(amplifier));
    ASSERT_TRUE(bench.run_until_samples(3));
    for (const auto& sample : bench.all) EXPECT_EQ(sample.channel, 0U);
    EXPECT_THAT(bench.source->health().trouble, AllOf(HasSubstr("10000 microohm"), HasSubstr("has 100")));
    write("class/hwmon/hwmon0/shunt_resistor", "100");
    EXPECT_TRUE(bench.run_until([&] { return bench.all.back().channel == 1U; }));
    EXPECT_EQ(bench.source->health().trouble, "");
}

TEST_F(SysfsSource, ADifferentialConverterOfIioAcrossAShunt) {
    write("bus/iio/devices/iio:device0/name", "adc");
    write("bus/iio/devices/iio:device0/in_voltage0-voltage1_raw", "-1234");
    write("bus/iio/devices/iio:device0/in_voltage-voltage_scale", "0.007812500");
    write("bus/iio/devices/iio:device0/in_temp_raw", "500");
    write("bus/iio/devices/iio:device0/in_temp_scale", "62.5");
    write("bus/iio/devices/iio:device0/in_temp_offset", "-100");
    Bench bench(source("iio", "adc") +
                "[[source.channel]]\nmeasures = \"shunt-drop\"\nfield = \"in_voltage0-voltage1_raw\"\n"
                "[[source.channel]]\nmeasures = \"temperature\"\nfield = \"in_temp_raw\"\nof = \"probe\"\nwhose = "
                "\"adc\"\n");
    ASSERT_TRUE(bench.run_until_samples(2)) << bench.source->health().trouble;
    // -1234 * 0.0078125 = -9.640625 mV across 100 microohm; (500 - 100) * 62.5 = 25 000 thousandths of a degree
    EXPECT_THAT(bench.values(), ElementsAre(DoubleNear(-96.40625, 1e-9), DoubleNear(25.0, 1e-9)));
}

TEST_F(SysfsSource, AnUnpluggedDeviceIsAGapAndComesBack) {
    write("class/hwmon/hwmon0/name", "shunt-adc");
    write("class/hwmon/hwmon0/in1_input", "13250");
    Bench bench(source("hwmon", "shunt-adc") + "[[source.channel]]\nmeasures = \"voltage\"\nfield = \"in1_input\"\n");
    ASSERT_TRUE(bench.run_until_samples(1));
    fs::remove_all(root() / "class/hwmon/hwmon0");
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().errors == 1; }));
    EXPECT_THAT(bench.source->health().trouble, HasSubstr("no device \"shunt-adc\""));
    write("class/hwmon/hwmon5/in1_input", "12900");  // under another number
    write("class/hwmon/hwmon5/name", "shunt-adc");
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().reconnects == 1; }));
    EXPECT_TRUE(bench.run_until([&] { return bench.all.back().value == 12.9; }));
}

TEST_F(SysfsSource, AFileThatHoldsNonsenseGivesNoReading) {
    write("class/hwmon/hwmon0/name", "shunt-adc");
    write("class/hwmon/hwmon0/in1_input", "hello");
    Bench bench(source("hwmon", "shunt-adc") + "[[source.channel]]\nmeasures = \"voltage\"\nfield = \"in1_input\"\n");
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().errors > 0; }));
    EXPECT_TRUE(bench.all.empty());
    EXPECT_THAT(bench.source->health().trouble, HasSubstr("expected a number, found \"hello\""));
}

TEST_F(SysfsSource, AnAbsurdFigureIsRefused) {
    write("class/hwmon/hwmon0/name", "shunt-adc");
    write("class/hwmon/hwmon0/in1_input", "4000000000000");
    Bench bench(source("hwmon", "shunt-adc") + "[[source.channel]]\nmeasures = \"voltage\"\nfield = \"in1_input\"\n");
    ASSERT_TRUE(bench.run_until([&] { return bench.source->health().refused > 2; }));
    EXPECT_TRUE(bench.all.empty());
}

}  // namespace
}  // namespace amphora::live
