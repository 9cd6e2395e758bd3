// The beginning of a log as a table: how its lines are cut into cells, what its columns are called, and the first rows.
#pragma once

#include <expected>
#include <string>
#include <string_view>
#include <vector>

#include "io/intake/mapping.hpp"

namespace amphora::intake {

struct SampleColumn {
    std::string id;                  // as a mapping names it
    std::string name;                // what its words are looked for in: with the header's other lines and its unit
    std::vector<std::string> cells;  // at most 500
};

struct LogSample {
    std::vector<SampleColumn> columns;
    std::string note{};  // what was decided about all of them, for a person; mostly nothing
};

/// Cuts the text up and says how in `mapping`: JSON lines or delimiter, header, lines to skip, decimal comma. Fails
/// with a sentence when it is no table.
[[nodiscard]] std::expected<LogSample, std::string> look_at(std::string_view text, Mapping& mapping);

}  // namespace amphora::intake
