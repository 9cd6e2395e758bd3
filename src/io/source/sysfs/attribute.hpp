// What an attribute of hwmon or IIO measures, by its name, and how its number becomes volts, amperes, watts or degrees.
//
// Source: Linux 6.1, Documentation/hwmon/sysfs-interface.rst and Documentation/ABI/testing/sysfs-bus-iio.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace amphora::sysfs {

enum class Physical : std::uint8_t { voltage, current, power, temperature };

/// "V", "A", "W" or "C".
[[nodiscard]] std::string_view unit_of(Physical physical);

/// A reading of hwmon: "in1_input" is millivolts, "curr1_average" milliamperes, "power1_input" microwatts,
/// "temp1_input" thousandths of a degree. The value in V, A, W or degrees Celsius is number * unit.
struct HwmonAttribute {
    Physical physical{};
    double unit = 1.0;
};

/// Nothing for attributes that are no such reading: limits, alarms, labels, fans.
[[nodiscard]] std::optional<HwmonAttribute> hwmon_attribute(std::string_view name);

/// A reading of IIO: "in_voltage0-voltage1_raw", "in_temp_input". The value in V, A, W or degrees Celsius is
/// (number + offset) * scale / 1000, where offset and scale stand in the first of the files named here that exists; an
/// offset may be in none and is 0 then. `_input` is scaled already, and has neither.
struct IioAttribute {
    Physical physical{};
    bool scaled = false;
    std::vector<std::string> scale_files{};
    std::vector<std::string> offset_files{};
};

/// Nothing for attributes that are no such reading.
[[nodiscard]] std::optional<IioAttribute> iio_attribute(std::string_view name);

/// The value of an IIO reading in V, A, W or degrees Celsius.
[[nodiscard]] constexpr double iio_value(double raw, double offset, double scale) {
    return (raw + offset) * scale / 1000.0;
}

}  // namespace amphora::sysfs
