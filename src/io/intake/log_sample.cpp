#include "io/intake/log_sample.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <nlohmann/json.hpp>

#include "io/intake/cells.hpp"
#include "io/intake/column_words.hpp"
#include "io/intake/delimiter.hpp"
#include "io/intake/time_guess.hpp"

namespace amphora::intake {
namespace {

constexpr std::size_t lines_looked_at = 500;
constexpr std::size_t deepest = 4;  // objects within objects
constexpr std::size_t most_columns = 500;

using Cells = std::vector<std::string>;

std::vector<std::string_view> lines_of(std::string_view text) {
    std::vector<std::string_view> lines;
    if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
    while (!text.empty() && lines.size() < lines_looked_at) {
        const auto end = text.find('\n');
        if (end == std::string_view::npos && lines.size() > 20) break;  // the last one may be cut
        std::string_view line = text.substr(0, end);
        if (line.ends_with('\r')) line.remove_suffix(1);
        lines.push_back(line);
        if (end == std::string_view::npos) break;
        text.remove_prefix(end + 1);
    }
    return lines;
}

bool is_blank(std::string_view line) { return line.find_first_not_of(" \t") == std::string_view::npos; }
bool is_comment(std::string_view line) {
    return line.starts_with('#') || line.starts_with("//") || line.starts_with('%');
}

bool is_number(std::string_view cell, bool comma) { return number_in(cell, comma).has_value(); }

/// Numbers with a comma in cells: decimals, unless every one may as well be digits in groups and the header speaks of
/// thousandths, so that 12,800 are twelve thousand of them.
bool has_decimal_comma(const std::vector<std::string_view>& lines, char delimiter) {
    bool any = false;
    bool sure = false;
    bool thousandths = false;
    for (const auto line : lines)
        for (const auto& cell : cells_of(line, delimiter)) {
            if (!is_number(cell, true)) {
                const std::string lower = lower_case(cell);
                thousandths = thousandths || lower.find("mv") != std::string::npos ||
                              lower.find("(ma") != std::string::npos || lower.find("_ma") != std::string::npos ||
                              lower.find("[ma") != std::string::npos;
                continue;
            }
            if (cell.find(',') == std::string::npos) continue;
            any = true;
            sure = sure || !may_be_grouped(cell, ',');
        }
    return any && (sure || !thousandths);
}

/// No number with a point but digits in groups under a name that speaks of thousandths: 12.800 mV are twelve thousand.
bool points_group_digits(const LogSample& sample) {
    bool any = false;
    for (const auto& column : sample.columns) {
        const auto unit = unit_in(column.name, Quantity::current) ? unit_in(column.name, Quantity::current)
                                                                  : unit_in(column.name, Quantity::voltage);
        for (const auto& cell : column.cells) {
            if (cell.find('.') == std::string::npos || !is_number(cell, false)) continue;
            if (!may_be_grouped(cell, '.') || !unit || unit->scale != 0.001) return false;
            any = true;
        }
    }
    return any;
}

struct Table {
    std::size_t width = 0;           // cells in most lines
    std::size_t first = 0;           // line of the first numbers
    std::vector<std::size_t> above;  // lines of text right above them, as wide, the topmost first
};

/// Begins with a digit and has at least six, as dates with times and dates alone do.
bool looks_like_time(std::string_view cell) {
    const auto digit = [](char c) { return c >= '0' && c <= '9'; };
    return !cell.empty() && digit(cell.front()) && std::ranges::count_if(cell, digit) >= 6;
}

bool is_data(const Cells& cells, bool comma) {
    std::size_t filled = 0;
    std::size_t numbers = 0;
    for (const auto& cell : cells) {
        if (says_nothing(cell) || says_beyond(cell)) continue;
        ++filled;
        if (is_number(cell, comma) || looks_like_time(cell)) ++numbers;
    }
    return numbers > 0 && numbers * 4 >= filled;
}

/// A line of names soon after: what looks like numbers here still belongs to the head of the file.
bool names_follow(const std::vector<std::string_view>& lines, std::size_t i, const Mapping& m, std::size_t width) {
    constexpr std::size_t soon = 5;
    std::size_t seen = 0;
    for (++i; i < lines.size() && seen < soon; ++i) {
        if (is_blank(lines[i]) || is_comment(lines[i])) continue;
        ++seen;
        const Cells cells = cells_of(lines[i], m.delimiter);
        const bool filled = std::ranges::none_of(cells, [](const auto& cell) { return says_nothing(cell); });
        if (cells.size() == width && filled && !is_data(cells, m.decimal_comma)) return true;
    }
    return false;
}

/// Whether most of the lines soon after are numbers too: one line of prose may have as many commas as they.
bool numbers_follow(const std::vector<std::string_view>& lines, std::size_t i, const Mapping& m, std::size_t width) {
    constexpr std::size_t soon = 10;
    std::size_t seen = 0;
    std::size_t data = 0;
    for (++i; i < lines.size() && seen < soon; ++i) {
        if (is_blank(lines[i]) || is_comment(lines[i])) continue;
        ++seen;
        const Cells cells = cells_of(lines[i], m.delimiter);
        data += cells.size() == width && is_data(cells, m.decimal_comma) ? 1 : 0;
    }
    return 2 * data >= seen;
}

Table table_in(const std::vector<std::string_view>& lines, const Mapping& m) {
    std::map<std::size_t, std::size_t> counts;
    for (const auto line : lines)
        if (!is_blank(line) && !is_comment(line)) ++counts[cells_of(line, m.delimiter).size()];
    Table table;
    if (counts.empty()) return table;
    table.width = std::ranges::max_element(counts, {}, [](const auto& c) { return c.second; })->first;
    table.first = lines.size();
    for (std::size_t i = 0; i < lines.size() && table.first == lines.size(); ++i) {
        if (is_blank(lines[i]) || is_comment(lines[i])) continue;
        const Cells cells = cells_of(lines[i], m.delimiter);
        const bool data = is_data(cells, m.decimal_comma);
        if (data && cells.size() == table.width && !names_follow(lines, i, m, table.width) &&
            numbers_follow(lines, i, m, table.width))
            table.first = i;
        // A header may have one cell more or less: a delimiter stands at the end of the lines, but not of the header.
        if (!data && cells.size() > 1 && cells.size() + 1 >= table.width && cells.size() <= table.width + 1)
            table.above.push_back(i);
    }
    if (!table.above.empty()) return table;
    // A header behind the mark of a comment: the last comment as wide as the numbers.
    for (std::size_t i = std::min(table.first, lines.size()); i-- > 0;)
        if (lines[i].starts_with('#') && cells_of(lines[i].substr(1), m.delimiter).size() == table.width) {
            table.above.push_back(i);
            break;
        }
    return table;
}

Cells header_cells(std::string_view line, char delimiter) {
    const auto begin = line.find_first_not_of("# ");
    return begin == std::string_view::npos ? Cells{} : cells_of(line.substr(begin), delimiter);
}

/// True for a name that can stand in a mapping file: text in UTF-8 (RFC 3629), and something of it. Others are called
/// by their number.
bool can_be_written(std::string_view name) {
    unsigned follow = 0;
    for (const char c : name) {
        const auto byte = static_cast<unsigned char>(c);
        if (follow > 0) {
            if ((byte & 0xC0U) != 0x80U) return false;
            --follow;
        } else if (byte >= 0x80U) {
            follow = byte >= 0xF0U ? 3 : byte >= 0xE0U ? 2 : 1;
            if (byte < 0xC2U || byte > 0xF4U) return false;
        } else if (byte < ' ' && byte != '\t') {
            return false;
        }
    }
    return follow == 0 && !name.empty();
}

/// Between blanks a date and its time of day are two cells below one name: the columns are called by their number.
void name_by_number(const std::vector<std::string_view>& lines, const Table& table, const Cells& names,
                    const Mapping& m, LogSample& sample) {
    const Cells first = table.first < lines.size() ? cells_of(lines[table.first], m.delimiter) : Cells{};
    const auto clock =
        std::ranges::find_if(first, [](const auto& cell) { return cell.find(':') != std::string::npos; });
    const auto split = static_cast<std::size_t>(clock - first.begin());
    for (std::size_t c = 0; c < table.width; ++c)
        sample.columns.push_back(
            {std::to_string(c + 1), names[c < split || c == 0 ? std::min(c, names.size() - 1) : c - 1], {}});
}

/// Names the columns by the lines above the numbers: the last one that does not hold units, and what stands above it.
void name_columns(const std::vector<std::string_view>& lines, const Table& table, Mapping& m, LogSample& sample) {
    if (table.above.empty()) {
        m.header = false;
        m.skip_lines = static_cast<unsigned>(table.first);
        sample.columns.resize(table.width);
        for (std::size_t c = 0; c < table.width; ++c)
            sample.columns[c].id = sample.columns[c].name = std::to_string(c + 1);
        return;
    }
    std::size_t header = table.above.size() - 1;
    const Cells below = header_cells(lines[table.above[header]], m.delimiter);
    const bool units = header > 0 && std::ranges::all_of(below, is_unit_cell);
    if (units) --header;
    m.skip_lines = static_cast<unsigned>(table.above[header]);
    m.lines_below_header = units ? static_cast<unsigned>(table.above.back() - table.above[header]) : 0;
    const Cells names = header_cells(lines[table.above[header]], m.delimiter);
    Cells groups;
    if (header > 0 && table.above[header] - table.above[header - 1] == 1)
        groups = header_cells(lines[table.above[header - 1]], m.delimiter);
    if (groups.size() != names.size()) groups.clear();
    if (m.delimiter == ' ' && names.size() + 1 == table.width) return name_by_number(lines, table, names, m, sample);
    std::string group;
    for (std::size_t c = 0; c < names.size(); ++c) {
        const bool unique = can_be_written(names[c]) && std::ranges::count(names, names[c]) == 1;
        if (c < groups.size() && !groups[c].empty()) group = groups[c];
        std::string words = group.empty() ? names[c] : group + " " + names[c];
        if (units && c < below.size()) words += " " + below[c];
        sample.columns.push_back({unique ? names[c] : std::to_string(c + 1), words, {}});
    }
}

std::expected<LogSample, std::string> look_at_cells(const std::vector<std::string_view>& lines, Mapping& m) {
    std::vector<std::string_view> with_content;
    std::ranges::copy_if(lines, std::back_inserter(with_content),
                         [](auto l) { return !is_blank(l) && !is_comment(l); });
    m.delimiter = delimiter_of(with_content);
    m.decimal_comma = has_decimal_comma(lines, m.delimiter);
    const Table table = table_in(lines, m);
    if (table.width < 2) return std::unexpected("it is no table: there are no lines of two or more cells");
    LogSample sample;
    name_columns(lines, table, m, sample);
    for (std::size_t i = table.first; i < lines.size(); ++i) {
        if (is_blank(lines[i]) || is_comment(lines[i]) || (!table.above.empty() && lines[i] == lines[m.skip_lines]))
            continue;
        const Cells cells = cells_of(lines[i], m.delimiter);
        for (std::size_t c = 0; c < std::min(cells.size(), sample.columns.size()); ++c)
            sample.columns[c].cells.push_back(cells[c]);
    }
    if (!m.decimal_comma && points_group_digits(sample)) {
        m.decimal_comma = true;
        sample.note = "the points stand between thousands, as in 12.800 mV";
    }
    return sample;
}

/// Adds every value of the object by its key, or by a JSON pointer where it lies deeper.
void add_values(const nlohmann::json& object, const std::string& pointer, const std::string& words, std::size_t depth,
                LogSample& sample) {
    for (const auto& [key, value] : object.items()) {
        if (value.is_object() && depth < deepest) {
            std::string token = key;
            for (std::size_t at = 0; (at = token.find_first_of("~/", at)) != std::string::npos; at += 2)
                token.replace(at, 1, token[at] == '~' ? "~0" : "~1");
            add_values(value, pointer + "/" + token, words + key + " ", depth + 1, sample);
            continue;
        }
        if (value.is_object() || value.is_array()) continue;
        const std::string id = pointer.empty() ? key : pointer + "/" + key;
        auto column = std::ranges::find(sample.columns, id, &SampleColumn::id);
        if (column == sample.columns.end()) {
            if (sample.columns.size() == most_columns) continue;
            column = sample.columns.insert(sample.columns.end(), {id, words + key, {}});
        }
        if (!value.is_null()) column->cells.push_back(value.is_string() ? value.get<std::string>() : value.dump());
    }
}

std::expected<LogSample, std::string> look_at_json(const std::vector<std::string_view>& lines) {
    LogSample sample;
    for (auto line : lines) {
        line.remove_prefix(std::min(line.find_first_not_of(" \t["), line.size()));
        line = line.substr(0, line.find_last_not_of(" \t,]") + 1);
        const auto object = nlohmann::json::parse(line, nullptr, false);
        if (object.is_object()) add_values(object, "", "", 0, sample);
    }
    if (sample.columns.empty())
        return std::unexpected(
            "it begins like JSON, but not one line of it is an object of its own; write one to a line");
    return sample;
}

}  // namespace

std::expected<LogSample, std::string> look_at(std::string_view text, Mapping& mapping) {
    const auto lines = lines_of(text);
    const auto first = std::ranges::find_if(lines, [](auto line) { return !is_blank(line) && !is_comment(line); });
    if (first == lines.end()) return std::unexpected("there is nothing in it");
    const auto begin = first->substr(first->find_first_not_of(" \t"));
    mapping.json_lines = begin.starts_with('{') || begin.starts_with("[{") || begin == "[";
    return mapping.json_lines ? look_at_json(lines) : look_at_cells(lines, mapping);
}

}  // namespace amphora::intake
