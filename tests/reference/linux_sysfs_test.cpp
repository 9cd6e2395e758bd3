// Linux 6.1: Documentation/hwmon/sysfs-interface.rst (units of hwmon) and Documentation/ABI/testing/sysfs-bus-iio
// (units of IIO after (raw + offset) * scale; shared scales).
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "io/source/sysfs/attribute.hpp"

namespace amphora::sysfs {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

void expect_hwmon(std::string_view name, Physical physical, double unit) {
    const auto attribute = hwmon_attribute(name);
    ASSERT_TRUE(attribute) << name;
    EXPECT_EQ(attribute->physical, physical) << name;
    EXPECT_EQ(attribute->unit, unit) << name;
}

TEST(LinuxHwmon, UnitsOfReadings) {
    expect_hwmon("in0_input", Physical::voltage, 1e-3);
    expect_hwmon("in12_input", Physical::voltage, 1e-3);
    expect_hwmon("curr1_input", Physical::current, 1e-3);
    expect_hwmon("curr1_average", Physical::current, 1e-3);
    expect_hwmon("power1_input", Physical::power, 1e-6);
    expect_hwmon("power2_average", Physical::power, 1e-6);
    expect_hwmon("temp3_input", Physical::temperature, 1e-3);
}

TEST(LinuxHwmon, WhatIsNoReading) {
    for (const auto* name : {"in1_max", "in_input", "in1_label", "curr1_crit_alarm", "fan1_input", "energy1_input",
                             "humidity1_input", "name", "shunt_resistor", "in1_input ", "", "in1_average"})
        EXPECT_FALSE(hwmon_attribute(name)) << name;
}

TEST(LinuxIio, ADifferentialChannel) {
    const auto attribute = iio_attribute("in_voltage0-voltage1_raw");
    ASSERT_TRUE(attribute);
    EXPECT_EQ(attribute->physical, Physical::voltage);
    EXPECT_FALSE(attribute->scaled);
    EXPECT_THAT(attribute->scale_files,
                ElementsAre("in_voltage0-voltage1_scale", "in_voltage-voltage_scale", "in_voltage_scale"));
    EXPECT_THAT(attribute->offset_files,
                ElementsAre("in_voltage0-voltage1_offset", "in_voltage-voltage_offset", "in_voltage_offset"));
}

TEST(LinuxIio, AChannelOfItsOwnAndOneWithoutANumber) {
    EXPECT_THAT(iio_attribute("in_current3_raw")->scale_files, ElementsAre("in_current3_scale", "in_current_scale"));
    EXPECT_THAT(iio_attribute("in_temp_raw")->scale_files, ElementsAre("in_temp_scale"));
    EXPECT_THAT(iio_attribute("in_power2_raw")->offset_files, ElementsAre("in_power2_offset", "in_power_offset"));
}

TEST(LinuxIio, AnInputIsScaledAlready) {
    const auto attribute = iio_attribute("in_temp_input");
    EXPECT_TRUE(attribute->scaled);
    EXPECT_THAT(attribute->scale_files, IsEmpty());
}

TEST(LinuxIio, WhatIsNoReading) {
    for (const auto* name : {"in_voltage0_scale", "in_accel_x_raw", "out_voltage0_raw", "in_voltage0_raw_available",
                             "name", "sampling_frequency", "in_", "_raw"})
        EXPECT_FALSE(iio_attribute(name)) << name;
}

// The offset is added before the scale: raw 100, offset -20, scale 0.5 mV are 40 mV, not 30.
TEST(LinuxIio, TheOffsetComesFirst) {
    EXPECT_DOUBLE_EQ(iio_value(100.0, -20.0, 0.5), 0.040);
    EXPECT_DOUBLE_EQ(iio_value(-1234.0, 0.0, 0.0078125), -0.009640625);
}

}  // namespace
}  // namespace amphora::sysfs
