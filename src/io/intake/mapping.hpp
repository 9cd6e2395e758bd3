// How a log of unknown make is to be read: which column holds what, in which unit, and how its times are written.
#pragma once

#include <expected>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace amphora::intake {

/// A column of numbers; the quantity is number * scale + offset.
struct ValueColumn {
    std::string column;  // its name in the header, its key in JSON lines, or its number from 1 where there is no header
    double scale = 1.0;
    double offset = 0.0;
};

struct Mapping {
    bool json_lines = false;
    char delimiter = ',';
    bool decimal_comma = false;
    unsigned skip_lines = 0;  // before the header or the first line of numbers
    bool header = true;
    std::vector<std::string> time_columns;  // one, or date and time of day
    std::string time_format = "rfc3339";  // or unix, unix_ms, unix_us, or conversions as of strptime: %d.%m.%Y %H:%M:%S
    std::string zone = "UTC";             // for times that do not say theirs
    std::optional<ValueColumn> current;   // amperes, positive into the battery
    std::optional<ValueColumn> voltage;   // volts
    std::optional<ValueColumn> temperature;  // degrees Celsius
};

/// The mapping as the text of a mapping file (TOML), with a word on every line.
[[nodiscard]] std::string to_text(const Mapping& mapping);

/// Reads a mapping file; or says what is wrong with it.
[[nodiscard]] std::expected<Mapping, std::string> read_mapping(const std::filesystem::path& file);
[[nodiscard]] std::expected<Mapping, std::string> parse_mapping(std::string_view text);

}  // namespace amphora::intake
