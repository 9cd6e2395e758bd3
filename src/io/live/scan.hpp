// What on this computer could be a source of readings. Looks only: opens no device and changes nothing.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "core/system/live.hpp"

namespace amphora::live {

/// A reading that a device of sysfs offers, and what it says now; the unit is V, A, W or C.
struct OfferedReading {
    std::string field;  // as a channel's `field`
    std::string unit;
    std::optional<double> value;
};

struct FoundSource {
    described::SourceKind kind{};
    std::string at;  // as a source's `at`
    std::vector<OfferedReading> offers;
    std::string remark;  // what a person should know: "down", "no permission: ..."; may be empty
};

/// Devices of hwmon and IIO with their readings, serial devices, and CAN interfaces, by kind and name. `root` is "/",
/// or a copy of the folders sys and dev to look in instead.
[[nodiscard]] std::vector<FoundSource> scan(const std::filesystem::path& root);

/// Where a described source stands: empty if it seems to be there, else what is missing. Opens no connection: of TCP
/// and MQTT nothing can be said.
[[nodiscard]] std::string missing(const described::Source& source, const std::vector<FoundSource>& found,
                                  const std::filesystem::path& root);

}  // namespace amphora::live
