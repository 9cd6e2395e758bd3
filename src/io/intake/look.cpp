#include "io/intake/look.hpp"

#include <fmt/core.h>
#include <fmt/format.h>

#include <algorithm>

#include "io/intake/cells.hpp"
#include "io/intake/log_reader.hpp"
#include "io/source/bad_line.hpp"

namespace amphora::intake {
namespace {

constexpr std::size_t readings_looked_at = 200'000;

}  // namespace

Look::Look(std::string_view text, const System* system, LogSample sample, Proposal& proposal)
    : text_(text), system_(system), proposal_(proposal) {
    replace_columns(std::move(sample.columns));
}

void Look::replace_columns(std::vector<SampleColumn> columns) {
    sample_.columns = std::move(columns);
    proposal_.columns.clear();
    for (const auto& column : sample_.columns) proposal_.columns.push_back(column.id);
}

const SampleColumn* Look::column(std::string_view id) const {
    const auto found = std::ranges::find(sample_.columns, id, &SampleColumn::id);
    return found == sample_.columns.end() ? nullptr : &*found;
}

std::string Look::names_of_columns() const {
    return source::excerpt(fmt::format("{}", fmt::join(proposal_.columns, ", ")));
}

bool Look::is_numeric(const SampleColumn& column) const {
    std::size_t numbers = 0;
    std::size_t texts = 0;
    for (const auto& cell : column.cells) {
        if (says_nothing(cell) || says_beyond(cell)) continue;
        ++(number_in(cell, proposal_.mapping.decimal_comma) ? numbers : texts);
    }
    return numbers > texts || column.cells.empty();
}

bool Look::is_time(const SampleColumn& column) const {
    return std::ranges::find(proposal_.mapping.time_columns, column.id) != proposal_.mapping.time_columns.end();
}

std::vector<Reading> Look::readings_by(const Mapping& mapping) const {
    auto reader = LogReader::open(source::memory_input(text_), mapping);
    if (!reader) return {};
    auto readings = reader->next(readings_looked_at);
    return readings ? std::move(*readings) : std::vector<Reading>{};
}

std::string in_quotes(std::string_view text) { return fmt::format("\"{}\"", source::excerpt(text)); }

}  // namespace amphora::intake
