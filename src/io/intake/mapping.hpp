// How a log of unknown make is to be read: which column holds what, in which unit, and how its times are written.
#pragma once

#include <expected>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace amphora::intake {

/// A column of numbers; the quantity is number * scale + offset. A cell that carries its own unit ("850 mV") is taken
/// by that unit instead; of the scale only the sign then counts.
struct ValueColumn {
    std::string column;  // its name in the header, a key or a JSON pointer in JSON lines, or its number from 1
    double scale = 1.0;
    double offset = 0.0;
};

/// A column of words, and those that count.
struct WordColumn {
    std::string column;
    std::vector<std::string> words;
};

/// Where each line holds one value of one quantity: the columns named below are then the names of those.
struct SeriesColumns {
    std::string name;        // the column that says which
    std::string value;       // the column that says how much
    double hold_s = 3600.0;  // a value counts for so long after it was written
};

struct Mapping {
    bool json_lines = false;
    char delimiter = ',';  // a blank stands for any number of blanks
    bool decimal_comma = false;
    unsigned skip_lines = 0;  // before the header or the first line of numbers
    bool header = true;
    unsigned lines_below_header = 0;        // of units, say
    std::vector<std::string> time_columns;  // one, or date and time of day
    std::string time_format = "rfc3339";  // or unix, unix_ms, unix_us, unix_ns, spreadsheet_days, or as strptime has it
    std::string zone = "UTC";             // for times that do not say theirs
    std::string starts_at;                // the moment from which unix times count; empty: 1970
    std::optional<ValueColumn> current;   // amperes, positive into the battery
    std::optional<ValueColumn> discharge;    // amperes out of the battery, where they have a column of their own
    std::optional<ValueColumn> power;        // watts into the battery, where there is no current
    std::optional<ValueColumn> voltage;      // volts
    std::optional<ValueColumn> temperature;  // degrees Celsius
    std::optional<WordColumn> out_when;      // the current leaves the battery in lines with one of these words
    std::optional<SeriesColumns> series;
    std::optional<WordColumn> only;  // lines without one of these words are of other meters

    /// True if readings can be had by it.
    [[nodiscard]] bool complete() const { return !time_columns.empty() && !time_format.empty() && has_values(); }
    [[nodiscard]] bool has_values() const { return current || discharge || voltage; }
};

/// The mapping as the text of a mapping file (TOML), with a word on every line.
[[nodiscard]] std::string to_text(const Mapping& mapping);

/// Reads a mapping file; or says what is wrong with it.
[[nodiscard]] std::expected<Mapping, std::string> read_mapping(const std::filesystem::path& file);
[[nodiscard]] std::expected<Mapping, std::string> parse_mapping(std::string_view text);

}  // namespace amphora::intake
