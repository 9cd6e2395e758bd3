// One attribute of sysfs: a small file that holds one value.
#pragma once

#include <cstdint>
#include <expected>
#include <filesystem>
#include <string>

namespace amphora::sysfs {

enum class FileFault : std::uint8_t {
    absent,       // no such file, or the device is gone
    unreadable,   // the driver or the bus answered with an error
    not_a_number  // or longer than any number
};

struct FileError {
    FileFault fault;
    std::string message;  // what and where, without a full stop
};

/// The text of an attribute without the line end; at most 255 bytes are read. Asks the driver anew at each call.
[[nodiscard]] std::expected<std::string, FileError> read_text(const std::filesystem::path& file);

/// The number that an attribute holds. Text around it is a fault.
[[nodiscard]] std::expected<double, FileError> read_number(const std::filesystem::path& file);

}  // namespace amphora::sysfs
