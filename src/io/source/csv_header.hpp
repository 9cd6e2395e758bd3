// The first line of a CSV log: which column holds what.
#pragma once

#include <cstdint>
#include <expected>
#include <string>
#include <string_view>
#include <vector>

#include "io/source/source_error.hpp"

namespace amphora::source {

/// What a column holds, as its name in the header says:
/// time_utc; current_a or shunt_mv; voltage_v; temperature_c. Any other column is ignored.
enum class Column : std::uint8_t { ignored, time, current, shunt, voltage, temperature };

struct CsvHeader {
    std::vector<Column> columns;
    std::vector<std::string> names;  // as written, without quotes and blanks around them
    char separator = ',';            // or ';' or a tab: whichever the header has
    std::vector<std::string> notes;  // columns that are ignored, in words
};

/// Reads the header line of the log called `log`. Names count alike in either case; their order is free.
/// Fails with no_header, missing_column or repeated_column; the message lists the names that were found.
std::expected<CsvHeader, SourceError> read_csv_header(std::string_view line, const std::string& log);

}  // namespace amphora::source
