// One reading of a device of hwmon or IIO, in V, A, W or degrees Celsius.
#pragma once

#include <expected>
#include <filesystem>
#include <optional>
#include <string>

#include "core/system/live.hpp"
#include "io/source/sysfs/attribute.hpp"

namespace amphora::live {

/// What an attribute of a device of that kind (iio, hwmon) measures; nothing if it is no reading.
[[nodiscard]] std::optional<sysfs::Physical> physical_of(described::SourceKind kind, const std::string& file);

/// Asks the driver; or says what is wrong.
[[nodiscard]] std::expected<double, std::string> sysfs_reading(const std::filesystem::path& device,
                                                               described::SourceKind kind, const std::string& file);

}  // namespace amphora::live
