// Whether the driver of a shunt amplifier computes its current with the shunt that is really there.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "core/quantity/quantity.hpp"
#include "core/system/system.hpp"

namespace amphora::sysfs {

/// The resistance that the driver reckons with: `shunt_resistor` in microohms (hwmon), or `in_shunt_resistor` or
/// `in_current_shunt_resistor` in ohms (IIO). Nothing if the device has none of them.
[[nodiscard]] std::optional<Ohm> shunt_in_use(const std::filesystem::path& device);

/// What is wrong if it is off the rated pair of the shunt by more than half a percent: every current would be too large
/// or too small by the same factor. Nothing if it fits, or if the description has no rated pair.
[[nodiscard]] std::optional<std::string> shunt_mismatch(const std::filesystem::path& device, Ohm in_use,
                                                        const Meter& meter);

}  // namespace amphora::sysfs
