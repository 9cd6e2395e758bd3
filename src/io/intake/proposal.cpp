#include "io/intake/proposal.hpp"

#include <fmt/core.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <map>
#include <nlohmann/json.hpp>

#include "io/intake/log_reader.hpp"
#include "io/intake/time_text.hpp"
#include "io/source/bad_line.hpp"
#include "io/source/csv_cell.hpp"
#include "io/source/decimal.hpp"

namespace amphora::intake {
namespace {

constexpr std::size_t lines_looked_at = 500;

using Cells = std::vector<std::string>;

std::string lower(std::string_view text) {
    std::string out(text);
    std::ranges::transform(out, out.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return out;
}

std::vector<std::string_view> lines_of(std::string_view text) {
    std::vector<std::string_view> lines;
    if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
    while (!text.empty() && lines.size() < lines_looked_at) {
        const auto end = text.find('\n');
        if (end == std::string_view::npos && !lines.empty()) break;  // the last one may be cut
        std::string_view line = text.substr(0, end);
        if (line.ends_with('\r')) line.remove_suffix(1);
        lines.push_back(line);
        if (end == std::string_view::npos) break;
        text.remove_prefix(end + 1);
    }
    return lines;
}

Cells cells_of(std::string_view line, char delimiter) {
    Cells cells;
    for (;;) {
        const auto length = source::cell_length(line, delimiter);
        const std::size_t end = length ? *length : std::min(line.find(delimiter), line.size());
        cells.emplace_back(source::bare_cell(line.substr(0, end)));
        if (end == line.size()) return cells;
        line.remove_prefix(end + 1);
    }
}

/// The delimiter by which most lines fall into the same number of cells, two or more.
char delimiter_of(const std::vector<std::string_view>& lines) {
    char best = ',';
    std::size_t best_score = 0;
    for (const char candidate : {';', '\t', ',', '|', ' '}) {
        std::map<std::size_t, std::size_t> counts;
        for (const auto line : lines)
            if (!line.empty()) ++counts[cells_of(line, candidate).size()];
        for (const auto& [cells, count] : counts)
            if (cells > 1 && count > best_score) {
                best_score = count;
                best = candidate;
            }
    }
    return best;
}

bool is_number(std::string_view cell, bool comma) {
    std::string copy(cell);
    if (comma) std::ranges::replace(copy, ',', '.');
    const auto n = source::read_decimal(copy.data(), copy.data() + copy.size());
    return n.fault == source::NumberFault::none && n.end == copy.data() + copy.size();
}

struct Kind {
    const char* quantity;
    std::vector<std::string> words;
    std::vector<std::string> not_words;
};

/// Words that name a quantity in a header, common practice in the trade and in several languages.
const std::array<Kind, 5>& kinds() {
    static const std::array<Kind, 5> all{{
        {"time",
         {"time", "date", "stamp", "zeit", "datum", "utc", "epoch", "fecha", "heure"},
         {"remaining", "to_", "to go", "run"}},
        {"current",
         {"current", "amp", "strom", "courant", "corriente", "stroom"},
         {"hour", "_ah", "(ah", "solar", "limit", "stamp"}},
        {"voltage", {"volt", "spannung", "tension", "spanning"}, {"solar", "panel", "limit", "start"}},
        {"temperature", {"temp", "celsius", "fahrenheit"}, {}},
        {"shunt", {"shunt"}, {}},
    }};
    return all;
}

bool names(const Kind& kind, const std::string& column) {
    const auto in = [&](const std::string& word) { return column.find(word) != std::string::npos; };
    if (std::ranges::any_of(kind.not_words, in)) return false;
    if (std::ranges::any_of(kind.words, in)) return true;
    const std::string quantity = kind.quantity;
    return (quantity == "current" && (column == "i" || column == "a" || column == "i_a")) ||
           (quantity == "voltage" && (column == "u" || column == "v" || column == "u_v")) ||
           (quantity == "temperature" && column == "t");
}

bool has_unit(const std::string& column, std::string_view unit) {
    for (const char* open : {"_", "(", "[", " ", "/"}) {
        const auto at = column.rfind(std::string(open) + std::string(unit));
        if (at == std::string::npos) continue;
        const std::size_t end = at + 1 + unit.size();
        if (end == column.size() || column[end] == ')' || column[end] == ']') return true;
    }
    return false;
}

/// Scale and offset by the unit that a column's name gives.
ValueColumn in_our_unit(const std::string& column) {
    const std::string name = lower(column);
    if (has_unit(name, "ma") || has_unit(name, "mv")) return {column, 0.001, 0.0};
    if (has_unit(name,
                 "\xC2\xB0"
                 "f") ||
        has_unit(name, "f") || name.find("fahrenheit") != std::string::npos)
        return {column, 5.0 / 9.0, -160.0 / 9.0};
    if (has_unit(name, "k") || name.find("kelvin") != std::string::npos) return {column, 1.0, -273.15};
    return {column, 1.0, 0.0};
}

/// Ways of writing a time, tried in this order; nine in ten must fit. Day before month where both do.
std::string time_format_of(const std::vector<std::string>& times, const std::string& zone,
                           std::vector<std::string>& doubts) {
    const auto fits = [&](const std::string& format) {
        auto reader = TimeText::of(format, zone);
        if (!reader || times.empty()) return false;
        const auto read = std::ranges::count_if(times, [&](const auto& t) { return reader->read(t).has_value(); });
        return static_cast<std::size_t>(read) * 10 >= times.size() * 9;
    };
    if (fits("unix")) {
        const double first = source::read_decimal(times[0].data(), times[0].data() + times[0].size()).value;
        const bool number = times[0].find('-') == std::string::npos;
        if (number && first < 3e8)
            doubts.push_back("the times are small for unix seconds: do they count from the start of the log?");
        return number ? "unix" : "rfc3339";
    }
    if (fits("unix_ms")) {
        const double first = source::read_decimal(times[0].data(), times[0].data() + times[0].size()).value;
        return first > 1e14 ? "unix_us" : "unix_ms";
    }
    if (fits("rfc3339")) return "rfc3339";
    for (const std::string date : {"%d.%m.%Y", "%d/%m/%Y", "%m/%d/%Y", "%Y/%m/%d", "%d-%m-%Y", "%Y.%m.%d", "%Y-%m-%d"})
        for (const std::string clock : {"%H:%M:%E*S", "%H:%M", "%I:%M:%S %p", "%I:%M %p"}) {
            if (!fits(date + " " + clock)) continue;
            if (date == "%d/%m/%Y" && fits("%m/%d/%Y " + clock))
                doubts.push_back("day and month could be the other way round in these times");
            return date + " " + clock;
        }
    return {};
}

std::optional<std::string> find_column(const Cells& header, const Kind& kind) {
    for (const auto& column : header)
        if (names(kind, lower(column))) return column;
    return std::nullopt;
}

void find_values(Cells header, const System& system, Mapping& m, std::vector<std::string>& doubts) {
    std::erase_if(header, [&](const auto& c) { return std::ranges::find(m.time_columns, c) != m.time_columns.end(); });
    if (const auto column = find_column(header, kinds()[1])) m.current = in_our_unit(*column);
    if (const auto column = find_column(header, kinds()[2])) m.voltage = in_our_unit(*column);
    if (const auto column = find_column(header, kinds()[3])) m.temperature = in_our_unit(*column);
    const auto shunt = find_column(header, kinds()[4]);
    if (!m.current && shunt && !system.meters.empty() && system.meters[0].rated_drop.known()) {
        const Meter& meter = system.meters[0];
        m.current = ValueColumn{*shunt, meter.current(Volt(0.001)).value(), 0.0};
        doubts.push_back(fmt::format("\"{}\" is taken as millivolts at the shunt of {} A / {} mV", *shunt,
                                     meter.rated_current.value(), meter.rated_drop.value() * 1000.0));
    }
    if (!m.current) doubts.push_back("no column of the current was found");
    if (!m.voltage) doubts.push_back("no column of the voltage was found");
}

Cells json_keys(std::string_view line) {
    Cells keys;
    const auto object = nlohmann::json::parse(line, nullptr, false);
    if (object.is_object())
        for (const auto& [key, value] : object.items()) keys.push_back(key);
    return keys;
}

std::vector<std::string> json_texts(const std::vector<std::string_view>& lines, const std::string& key) {
    std::vector<std::string> texts;
    for (const auto line : lines) {
        const auto object = nlohmann::json::parse(line, nullptr, false);
        if (object.is_object() && object.contains(key))
            texts.push_back(object[key].is_string() ? object[key].get<std::string>() : object[key].dump());
    }
    return texts;
}

/// Where the rows of equal length begin, and whether the first of them is a header.
void find_header(const std::vector<std::string_view>& lines, Mapping& m) {
    std::map<std::size_t, std::size_t> counts;
    for (const auto line : lines) ++counts[cells_of(line, m.delimiter).size()];
    const auto usual = std::ranges::max_element(counts, {}, [](const auto& c) { return c.second; })->first;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const Cells cells = cells_of(lines[i], m.delimiter);
        if (cells.size() != usual || lines[i].starts_with('#')) continue;
        m.skip_lines = static_cast<unsigned>(i);
        const auto numbers = std::ranges::count_if(cells, [&](const auto& c) { return is_number(c, m.decimal_comma); });
        m.header = numbers == 0 || static_cast<std::size_t>(numbers) * 3 < cells.size();
        return;
    }
}

}  // namespace

std::expected<Proposal, std::string> propose(std::string_view beginning, const System& system,
                                             const std::string& zone) {
    const auto lines = lines_of(beginning);
    const auto first =
        std::ranges::find_if(lines, [](auto l) { return l.find_first_not_of(" \t") != std::string_view::npos; });
    if (first == lines.end()) return std::unexpected("there is nothing in it");
    Proposal p;
    Mapping& m = p.mapping;
    m.zone = zone;
    Cells header;
    m.json_lines = first->starts_with('{');
    if (m.json_lines) {
        header = json_keys(*first);
    } else {
        m.delimiter = delimiter_of(lines);
        const auto comma_number = [&](std::string_view line) {
            return std::ranges::any_of(cells_of(line, m.delimiter), [](const auto& c) {
                return c.find(',') != std::string::npos && is_number(c, true);
            });
        };
        m.decimal_comma = m.delimiter != ',' && std::ranges::any_of(lines, comma_number);
        find_header(lines, m);
        if (!m.header)
            return std::unexpected(
                "it has no header that names the columns; write a mapping file (see the how-to on importing) and give "
                "it with --mapping");
        header = cells_of(lines[m.skip_lines], m.delimiter);
    }
    std::vector<std::string> time_columns;
    for (const auto& column : header)
        if (names(kinds()[0], lower(column))) time_columns.push_back(column);
    if (time_columns.empty())
        return std::unexpected(
            fmt::format("no column of times was found among {}; write a mapping file and give it with --mapping",
                        source::excerpt(fmt::format("{}", fmt::join(header, ", ")))));
    const auto texts = [&](const std::string& column) {
        if (m.json_lines) return json_texts(lines, column);
        std::vector<std::string> found;
        const auto index = static_cast<std::size_t>(std::ranges::find(header, column) - header.begin());
        for (std::size_t i = m.skip_lines + 1; i < lines.size(); ++i) {
            const Cells cells = cells_of(lines[i], m.delimiter);
            if (index < cells.size() && lines[i] != lines[m.skip_lines] && !lines[i].starts_with('#'))
                found.push_back(cells[index]);
        }
        // A bad line or two must not hide the format.
        if (found.size() > 20)
            std::erase_if(found, [](const auto& t) {
                return t.empty() || !std::ranges::any_of(t, [](unsigned char c) { return std::isdigit(c) != 0; });
            });
        return found;
    };
    // One column of moments, or a date and a time of day.
    for (const auto& column : time_columns) {
        m.time_format = time_format_of(texts(column), zone, p.doubts);
        m.time_columns = {column};
        if (!m.time_format.empty()) break;
    }
    if (m.time_format.empty() && time_columns.size() > 1) {
        auto dates = texts(time_columns[0]);
        const auto clocks = texts(time_columns[1]);
        for (std::size_t i = 0; i < std::min(dates.size(), clocks.size()); ++i) dates[i] += " " + clocks[i];
        m.time_columns = {time_columns[0], time_columns[1]};
        m.time_format = time_format_of(dates, zone, p.doubts);
    }
    if (texts(time_columns[0]).empty()) return std::unexpected("there are no readings below its header");
    if (m.time_format.empty())
        return std::unexpected(
            fmt::format("the times in \"{}\" are written in a way that is not known here; say it in a mapping file",
                        time_columns[0]));
    find_values(header, system, m, p.doubts);
    if (!m.current && !m.voltage)
        return std::unexpected(fmt::format("neither current nor voltage was found among {}; write a mapping file",
                                           fmt::join(header, ", ")));
    return p;
}

}  // namespace amphora::intake
