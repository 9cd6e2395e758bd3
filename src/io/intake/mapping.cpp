#include "io/intake/mapping.hpp"

#include <fmt/core.h>
#include <toml++/toml.h>

#include <algorithm>
#include <array>
#include <fstream>
#include <iterator>

namespace amphora::intake {
namespace {

std::string in_quotes(std::string_view text) {
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\') out += '\\';
        if (c == '\t')
            out += "\\t";
        else if (static_cast<unsigned char>(c) < ' ')
            out += '?';
        else
            out += c;
    }
    return out + "\"";
}

std::string list_of(const std::vector<std::string>& texts) {
    std::string text = "[";
    for (std::size_t i = 0; i < texts.size(); ++i) text += (i > 0 ? ", " : "") + in_quotes(texts[i]);
    return text + "]";
}

std::string value_line(const char* name, const ValueColumn& value, const char* unit) {
    return fmt::format("{} = {{ column = {}, scale = {}, offset = {} }}  # gives {}\n", name, in_quotes(value.column),
                       value.scale, value.offset, unit);
}

std::string wanted_line(const char* name, const std::optional<ValueColumn>& value, const char* unit) {
    if (value) return value_line(name, *value, unit);
    return fmt::format("# {} = {{ column = \"...\", scale = 1, offset = 0 }}  # {}; none was found\n", name, unit);
}

std::string words_line(const char* name, const WordColumn& column, const char* meaning) {
    return fmt::format("{} = {{ column = {}, words = {} }}  # {}\n", name, in_quotes(column.column),
                       list_of(column.words), meaning);
}

std::optional<ValueColumn> value_of(const toml::table& table, const char* name) {
    const toml::table* entry = table[name].as_table();
    if (entry == nullptr) return std::nullopt;
    return ValueColumn{(*entry)["column"].value_or<std::string>(""), (*entry)["scale"].value_or(1.0),
                       (*entry)["offset"].value_or(0.0)};
}

std::vector<std::string> texts_of(const toml::array* array) {
    std::vector<std::string> texts;
    if (array != nullptr)
        for (const auto& text : *array) texts.push_back(text.value_or<std::string>(""));
    return texts;
}

std::optional<WordColumn> words_of(const toml::table& table, const char* name) {
    const toml::table* entry = table[name].as_table();
    if (entry == nullptr) return std::nullopt;
    return WordColumn{(*entry)["column"].value_or<std::string>(""), texts_of((*entry)["words"].as_array())};
}

std::optional<SeriesColumns> series_of(const toml::table& table) {
    const toml::table* entry = table["series"].as_table();
    if (entry == nullptr) return std::nullopt;
    return SeriesColumns{(*entry)["name"].value_or<std::string>(""), (*entry)["value"].value_or<std::string>(""),
                         (*entry)["hold_s"].value_or(SeriesColumns{}.hold_s)};
}

std::optional<std::string> unknown_key(const toml::table& table) {
    constexpr std::array<std::string_view, 18> known{
        "json_lines",   "delimiter",   "decimal_comma", "skip_lines", "header",  "lines_below_header",
        "time_columns", "time_format", "zone",          "starts_at",  "current", "discharge",
        "power",        "voltage",     "temperature",   "out_when",   "only",    "series"};
    for (const auto& [key, node] : table)
        if (std::ranges::find(known, key.str()) == known.end()) return std::string(key.str());
    return std::nullopt;
}

unsigned lines_in(const toml::table& table, const char* name) {
    return static_cast<unsigned>(std::clamp<std::int64_t>(table[name].value_or<std::int64_t>(0), 0, 1'000'000));
}

/// What a mapping lacks to be read by, or nothing.
std::string lack_of(const Mapping& m) {
    if (m.time_columns.empty() || m.time_columns.size() > 2)
        return "time_columns must name one column, or date and time";
    if (m.time_format.empty()) return "time_format must say how the times are written";
    if (!m.has_values()) return "neither current nor voltage is mapped";
    for (const auto* words : {&m.out_when, &m.only})
        if (*words && ((*words)->column.empty() || (*words)->words.empty()))
            return "out_when and only need a column and words: { column = \"...\", words = [\"...\"] }";
    if (m.series && (m.series->name.empty() || m.series->value.empty() || !(m.series->hold_s > 0.0)))
        return "series needs two columns and a time above 0: { name = \"...\", value = \"...\", hold_s = 3600 }";
    if (m.power && !m.voltage) return "a current can be had from the power only where there is a voltage";
    return {};
}

}  // namespace

std::string to_text(const Mapping& m) {
    std::string text;
    if (m.json_lines) {
        text += "json_lines = true  # a column is a key, or a JSON pointer such as /battery/volts\n";
    } else {
        text += fmt::format("delimiter = {}\n", in_quotes(std::string(1, m.delimiter)));
        text += fmt::format("decimal_comma = {}\n", m.decimal_comma);
        text += fmt::format("skip_lines = {}  # before the header or the first numbers\n", m.skip_lines);
        text +=
            fmt::format("header = {}{}\n", m.header, m.header ? "" : "  # columns are named by their number, from 1");
        if (m.lines_below_header > 0)
            text += fmt::format("lines_below_header = {}  # passed over\n", m.lines_below_header);
    }
    text += fmt::format("time_columns = {}{}\n", list_of(m.time_columns),
                        m.time_columns.empty() ? "  # none was found" : "");
    text += fmt::format(
        "time_format = {}  # rfc3339, unix, unix_ms, unix_us, unix_ns, spreadsheet_days, or like %d.%m.%Y %H:%M:%S\n",
        in_quotes(m.time_format));
    text += fmt::format("zone = {}  # of times that do not say theirs\n", in_quotes(m.zone));
    if (!m.starts_at.empty())
        text += fmt::format("starts_at = {}  # the moment from which the times count\n", in_quotes(m.starts_at));
    if (m.series)
        text += fmt::format(
            "series = {{ name = {}, value = {}, hold_s = {} }}  # one value to a line; the columns below are its "
            "names\n",
            in_quotes(m.series->name), in_quotes(m.series->value), m.series->hold_s);
    if (m.current || !m.power) text += wanted_line("current", m.current, "amperes, positive into the battery");
    if (m.discharge) text += value_line("discharge", *m.discharge, "amperes that leave the battery");
    if (m.power) text += value_line("power", *m.power, "watts into the battery, from which the current is had");
    text += wanted_line("voltage", m.voltage, "volts");
    text += wanted_line("temperature", m.temperature, "degrees Celsius");
    if (m.out_when) text += words_line("out_when", *m.out_when, "the current leaves the battery in these lines");
    if (m.only) text += words_line("only", *m.only, "other lines are of other meters");
    return text;
}

std::expected<Mapping, std::string> parse_mapping(std::string_view text) {
    try {
        const toml::table table = toml::parse(text);
        if (const auto key = unknown_key(table))
            return std::unexpected(fmt::format("there is no setting \"{}\"", *key));
        Mapping m;
        m.json_lines = table["json_lines"].value_or(false);
        const std::string delimiter = table["delimiter"].value_or<std::string>(",");
        if (delimiter.size() != 1) return std::unexpected("delimiter must be one character");
        m.delimiter = delimiter[0];
        m.decimal_comma = table["decimal_comma"].value_or(false);
        m.skip_lines = lines_in(table, "skip_lines");
        m.header = table["header"].value_or(true);
        m.lines_below_header = lines_in(table, "lines_below_header");
        m.time_columns = texts_of(table["time_columns"].as_array());
        m.time_format = table["time_format"].value_or<std::string>("rfc3339");
        m.zone = table["zone"].value_or<std::string>("UTC");
        m.starts_at = table["starts_at"].value_or<std::string>("");
        m.current = value_of(table, "current");
        m.discharge = value_of(table, "discharge");
        m.power = value_of(table, "power");
        m.voltage = value_of(table, "voltage");
        m.temperature = value_of(table, "temperature");
        m.out_when = words_of(table, "out_when");
        m.only = words_of(table, "only");
        m.series = series_of(table);
        if (const auto lack = lack_of(m); !lack.empty()) return std::unexpected(lack);
        return m;
    } catch (const toml::parse_error& e) {
        return std::unexpected(fmt::format("line {}: {}", e.source().begin.line, e.description()));
    }
}

std::expected<Mapping, std::string> read_mapping(const std::filesystem::path& file) {
    std::ifstream in(file);
    if (!in) return std::unexpected(fmt::format("{}: cannot be read; check the path", file.string()));
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    auto mapping = parse_mapping(text);
    if (!mapping) return std::unexpected(fmt::format("{}: {}", file.string(), mapping.error()));
    return mapping;
}

}  // namespace amphora::intake
