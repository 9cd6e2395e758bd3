// The devices below /sys/class/hwmon or /sys/bus/iio/devices, or below a copy of such a folder.
#pragma once

#include <expected>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace amphora::sysfs {

/// Where devices are found below the root of sysfs (usually "/sys").
constexpr std::string_view hwmon_folder = "class/hwmon";
constexpr std::string_view iio_folder = "bus/iio/devices";

struct Device {
    std::filesystem::path folder;
    std::string name;     // of the chip, by its driver
    std::string address;  // on its bus, such as "1-0040"; empty if the folder has no link to it
};

/// Every device that has a name, in the order of the folders' names; none if the folder does not exist. The number in a
/// folder's name (hwmon3) may be another after the next start: a device is told by name and address.
[[nodiscard]] std::vector<Device> devices(const std::filesystem::path& folder);

/// The device called "NAME" or "NAME@ADDRESS"; or what there is instead, if there is none or more than one.
[[nodiscard]] std::expected<Device, std::string> find_device(const std::filesystem::path& folder,
                                                             std::string_view wanted);

/// "NAME@ADDRESS", or "NAME" where there is no address.
[[nodiscard]] std::string title(const Device& device);

}  // namespace amphora::sysfs
