#include "io/source/csv_header.hpp"

#include <fmt/core.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <ranges>
#include <utility>

#include "io/source/bad_line.hpp"
#include "io/source/csv_cell.hpp"
#include "io/source/decimal.hpp"
#include "io/text/nearest.hpp"

namespace amphora::source {
namespace {

constexpr std::array<std::pair<std::string_view, Column>, 5> known{{{"time_utc", Column::time},
                                                                    {"current_a", Column::current},
                                                                    {"shunt_mv", Column::shunt},
                                                                    {"voltage_v", Column::voltage},
                                                                    {"temperature_c", Column::temperature}}};

Column column_for(std::string_view name) {
    const auto alike = [](char a, char b) {
        return std::tolower(static_cast<unsigned char>(a)) == std::tolower(static_cast<unsigned char>(b));
    };
    for (const auto& [word, column] : known)
        if (std::ranges::equal(name, word, alike)) return column;
    return Column::ignored;
}

char separator_of(std::string_view line) {
    for (const char candidate : {',', ';', '\t'})
        if (line.contains(candidate)) return candidate;
    return ',';
}

bool looks_like_data(std::string_view line) {
    return !line.empty() && (is_digit(line.front()) || line.front() == '-' || line.front() == '.');
}

// The first line of what is no log at all may be long and unprintable.
std::string quoted_list(const std::vector<std::string>& names) {
    constexpr std::size_t most = 20;
    std::vector<std::string> shown;
    for (const auto& name : names | std::views::take(most)) shown.push_back(excerpt(name));
    const auto list = fmt::format("\"{}\"", fmt::join(shown, R"(", ")"));
    return names.size() > most ? fmt::format("{} and {} more", list, names.size() - most) : list;
}

// "voltage_v", or with the column that was probably meant.
std::string wanted(std::string_view name, const std::vector<std::string>& found) {
    const std::vector<std::string_view> views(found.begin(), found.end());
    const auto near = text::nearest(name, views);
    return near ? fmt::format(R"("{}" (is "{}" meant to be it?))", name, *near) : fmt::format("\"{}\"", name);
}

std::vector<std::string> missing_columns(const CsvHeader& header) {
    const auto has = [&](Column column) { return std::ranges::find(header.columns, column) != header.columns.end(); };
    std::vector<std::string> missing;
    if (!has(Column::time)) missing.push_back(wanted("time_utc", header.names));
    if (!has(Column::current) && !has(Column::shunt))
        missing.push_back(wanted("current_a", header.names) + " or \"shunt_mv\"");
    if (!has(Column::voltage)) missing.push_back(wanted("voltage_v", header.names));
    return missing;
}

// With a current in amperes there is no use for the shunt's drop.
void prefer_current(CsvHeader& header) {
    if (std::ranges::find(header.columns, Column::current) == header.columns.end()) return;
    std::ranges::replace(header.columns, Column::shunt, Column::ignored);
}

void note_ignored(CsvHeader& header) {
    std::vector<std::string> ignored;
    for (std::size_t i = 0; i < header.columns.size(); ++i)
        if (header.columns[i] == Column::ignored) ignored.push_back(header.names[i]);
    if (!ignored.empty())
        header.notes.push_back(
            fmt::format("not used: column{} {}", ignored.size() == 1 ? "" : "s", quoted_list(ignored)));
}

}  // namespace

std::expected<CsvHeader, SourceError> read_csv_header(std::string_view line, const std::string& log) {
    const auto fail = [&log](SourceFault fault, std::string_view what) {
        return std::unexpected(SourceError{fault, fmt::format("{}: {}", log, what)});
    };
    if (looks_like_data(line))
        return fail(SourceFault::no_header,
                    "the first line is data; put the names of the columns above it, such as "
                    "\"time_utc,current_a,voltage_v\"");
    CsvHeader header;
    header.separator = separator_of(line);
    for (;;) {
        const auto length = cell_length(line, header.separator);
        if (!length) return fail(SourceFault::no_header, "the first line has a quote that is not closed");
        header.names.emplace_back(bare_cell(line.substr(0, *length)));
        if (*length == line.size()) break;
        line.remove_prefix(*length + 1);
    }
    while (!header.names.empty() && header.names.back().empty()) header.names.pop_back();
    for (const auto& name : header.names) {
        const auto column = column_for(name);
        if (column != Column::ignored && std::ranges::find(header.columns, column) != header.columns.end())
            return fail(SourceFault::repeated_column, fmt::format("two columns are named \"{}\"; rename one", name));
        header.columns.push_back(column);
    }
    if (const auto missing = missing_columns(header); !missing.empty())
        return fail(SourceFault::missing_column,
                    fmt::format("no column {}; found: {}", fmt::join(missing, ", no column "),
                                header.names.empty() ? "none" : quoted_list(header.names)));
    prefer_current(header);
    note_ignored(header);
    return header;
}

}  // namespace amphora::source
