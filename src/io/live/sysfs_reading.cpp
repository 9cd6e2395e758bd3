#include "io/live/sysfs_reading.hpp"

#include <fmt/format.h>

#include <vector>

#include "io/source/sysfs/number_file.hpp"

namespace amphora::live {
namespace {

using described::SourceKind;
using Number = std::expected<double, sysfs::FileError>;

// The first of the files that exists holds the value for this channel, the later ones those for all of its type.
Number first_of(const std::filesystem::path& device, const std::vector<std::string>& names, double otherwise) {
    for (const auto& name : names) {
        const auto number = sysfs::read_number(device / name);
        if (number || number.error().fault != sysfs::FileFault::absent) return number;
    }
    return otherwise;
}

}  // namespace

std::optional<sysfs::Physical> physical_of(SourceKind kind, const std::string& file) {
    if (kind == SourceKind::iio) {
        const auto attribute = sysfs::iio_attribute(file);
        return attribute ? std::optional(attribute->physical) : std::nullopt;
    }
    const auto attribute = sysfs::hwmon_attribute(file);
    return attribute ? std::optional(attribute->physical) : std::nullopt;
}

std::expected<double, std::string> sysfs_reading(const std::filesystem::path& device, SourceKind kind,
                                                 const std::string& file) {
    const auto raw = sysfs::read_number(device / file);
    if (!raw) return std::unexpected(raw.error().message);
    if (kind == SourceKind::hwmon) {
        const auto attribute = sysfs::hwmon_attribute(file);
        if (!attribute) return std::unexpected(fmt::format("{} is no reading of hwmon", file));
        return *raw * attribute->unit;
    }
    const auto attribute = sysfs::iio_attribute(file);
    if (!attribute) return std::unexpected(fmt::format("{} is no reading of IIO", file));
    if (attribute->scaled) return sysfs::iio_value(*raw, 0.0, 1.0);
    const auto offset = first_of(device, attribute->offset_files, 0.0);
    const auto scale = first_of(device, attribute->scale_files, 1.0);
    if (!offset) return std::unexpected(offset.error().message);
    if (!scale) return std::unexpected(scale.error().message);
    return sysfs::iio_value(*raw, *offset, *scale);
}

}  // namespace amphora::live
