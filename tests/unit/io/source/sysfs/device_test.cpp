#include "io/source/sysfs/device.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <fstream>

#include "io/source/sysfs/number_file.hpp"
#include "io/source/sysfs/shunt_value.hpp"
#include "support/scratch_folder.hpp"

namespace amphora::sysfs {
namespace {

namespace fs = std::filesystem;
using testing::AllOf;
using testing::HasSubstr;
using testing::IsEmpty;

class Sysfs : public testing::Test {
protected:
    void write(const fs::path& file, std::string_view text) {
        const auto whole = root() / file;
        fs::create_directories(whole.parent_path());
        std::ofstream(whole) << text;
    }
    [[nodiscard]] fs::path root() const { return scratch_.path(); }
    [[nodiscard]] fs::path hwmon() const { return root() / hwmon_folder; }

private:
    ScratchFolder scratch_;
};

TEST_F(Sysfs, NoFolderNoDevices) {
    EXPECT_THAT(devices(hwmon()), IsEmpty());
    EXPECT_THAT(find_device(hwmon(), "shunt-adc").error(), HasSubstr("none is there"));
}

TEST_F(Sysfs, ADeviceIsToldByNameAndAddress) {
    write("class/hwmon/hwmon0/name", "cpu\n");
    write("class/hwmon/hwmon1/name", "shunt-adc\n");
    write("class/hwmon/hwmon2/name", "shunt-adc\n");
    write("class/hwmon/hwmon3/temp1_input", "no name, no device");
    fs::create_symlink("../../../1-0040", hwmon() / "hwmon1" / "device");
    fs::create_symlink("../../../1-0041", hwmon() / "hwmon2" / "device");
    ASSERT_EQ(devices(hwmon()).size(), 3U);
    EXPECT_EQ(find_device(hwmon(), "cpu")->folder, hwmon() / "hwmon0");
    EXPECT_EQ(find_device(hwmon(), "shunt-adc@1-0041")->folder, hwmon() / "hwmon2");
    EXPECT_THAT(find_device(hwmon(), "shunt-adc").error(),
                AllOf(HasSubstr("2 devices"), HasSubstr("shunt-adc@1-0040")));
    EXPECT_THAT(find_device(hwmon(), "shunt").error(),
                AllOf(HasSubstr("no device \"shunt\""), HasSubstr("cpu, shunt-adc@1-0040, shunt-adc@1-0041")));
}

TEST_F(Sysfs, AnIioDeviceIsALinkIntoItsBusDevice) {
    write("devices/platform/i2c-1/1-0048/iio:device0/name", "adc\n");
    fs::create_directories(root() / iio_folder);
    fs::create_symlink("../../../devices/platform/i2c-1/1-0048/iio:device0", root() / iio_folder / "iio:device0");
    const auto found = devices(root() / iio_folder);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(title(found[0]), "adc@1-0048");
}

TEST_F(Sysfs, Numbers) {
    write("a", "13250\n");
    write("b", "-1234");
    write("c", "0.007812500\n");
    EXPECT_EQ(read_number(root() / "a"), 13250.0);
    EXPECT_EQ(read_number(root() / "b"), -1234.0);
    EXPECT_EQ(read_number(root() / "c"), 0.0078125);
}

TEST_F(Sysfs, WhatIsNoNumberIsAFault) {
    write("text", "hello\n");
    write("empty", "");
    write("two", "1 2\n");
    write("long", std::string(100'000, '1'));
    write("nul", std::string("12\0", 3));
    for (const auto* name : {"text", "empty", "two", "nul"})
        EXPECT_EQ(read_number(root() / name).error().fault, FileFault::not_a_number) << name;
    EXPECT_FALSE(read_number(root() / "long")) << "a number that no meter shows";
    EXPECT_EQ(read_number(root() / "nowhere").error().fault, FileFault::absent);
    EXPECT_EQ(read_number(root()).error().fault, FileFault::unreadable) << "a folder";
    EXPECT_THAT(read_number(root() / "text").error().message, AllOf(HasSubstr("text"), HasSubstr("\"hello\"")));
}

TEST_F(Sysfs, APipeInPlaceOfAFileHoldsNobodyUp) {
    ASSERT_EQ(::mkfifo((root() / "pipe").c_str(), 0600), 0);
    EXPECT_FALSE(read_number(root() / "pipe"));
}

Meter shunt_500_75() { return {"house", Ampere(500.0), Volt(0.075)}; }

TEST_F(Sysfs, TheDriversShuntMustBeTheOneThatIsThere) {
    write("shunt_resistor", "10000\n");  // what a driver assumes before it is told
    const auto in_use = shunt_in_use(root());
    ASSERT_TRUE(in_use);
    EXPECT_DOUBLE_EQ(in_use->value(), 0.01);
    EXPECT_THAT(shunt_mismatch(root(), *in_use, shunt_500_75()).value_or(""),
                AllOf(HasSubstr("10000 microohm"), HasSubstr("has 150"), HasSubstr("factor 0.015")));
    write("shunt_resistor", "150\n");
    EXPECT_EQ(shunt_mismatch(root(), *shunt_in_use(root()), shunt_500_75()), std::nullopt);
    EXPECT_EQ(shunt_mismatch(root(), Ohm(1.0), Meter{}), std::nullopt) << "nothing to compare with";
}

TEST_F(Sysfs, IioTellsItsShuntInOhms) {
    write("in_shunt_resistor", "0.000150\n");
    EXPECT_DOUBLE_EQ(shunt_in_use(root())->value(), 150e-6);
    EXPECT_EQ(shunt_in_use(root() / "nowhere"), std::nullopt);
}

}  // namespace
}  // namespace amphora::sysfs
