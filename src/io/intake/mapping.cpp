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
        else
            out += c;
    }
    return out + "\"";
}

std::string value_line(const char* name, const std::optional<ValueColumn>& value, const char* unit) {
    if (!value) return fmt::format("# {} = {{ column = \"...\", scale = 1, offset = 0 }}  # none was found\n", name);
    return fmt::format("{} = {{ column = {}, scale = {}, offset = {} }}  # gives {}\n", name, in_quotes(value->column),
                       value->scale, value->offset, unit);
}

std::optional<ValueColumn> value_of(const toml::table& table, const char* name) {
    const toml::table* entry = table[name].as_table();
    if (entry == nullptr) return std::nullopt;
    return ValueColumn{(*entry)["column"].value_or<std::string>(""), (*entry)["scale"].value_or(1.0),
                       (*entry)["offset"].value_or(0.0)};
}

std::optional<std::string> unknown_key(const toml::table& table) {
    constexpr std::array<std::string_view, 11> known{"json_lines", "delimiter",    "decimal_comma", "skip_lines",
                                                     "header",     "time_columns", "time_format",   "zone",
                                                     "current",    "voltage",      "temperature"};
    for (const auto& [key, node] : table)
        if (std::ranges::find(known, key.str()) == known.end()) return std::string(key.str());
    return std::nullopt;
}

}  // namespace

std::string to_text(const Mapping& m) {
    std::string text;
    if (m.json_lines) {
        text += "json_lines = true\n";
    } else {
        text += fmt::format("delimiter = {}\n", in_quotes(std::string(1, m.delimiter)));
        text += fmt::format("decimal_comma = {}\n", m.decimal_comma);
        text += fmt::format("skip_lines = {}  # before the header or the first numbers\n", m.skip_lines);
        text +=
            fmt::format("header = {}{}\n", m.header, m.header ? "" : "  # columns are named by their number, from 1");
    }
    text += "time_columns = [";
    for (std::size_t i = 0; i < m.time_columns.size(); ++i) text += (i > 0 ? ", " : "") + in_quotes(m.time_columns[i]);
    text += "]\n";
    text += fmt::format("time_format = {}  # rfc3339, unix, unix_ms, unix_us, or like %d.%m.%Y %H:%M:%S\n",
                        in_quotes(m.time_format));
    text += fmt::format("zone = {}  # of times that do not say theirs\n", in_quotes(m.zone));
    text += value_line("current", m.current, "amperes, positive into the battery");
    text += value_line("voltage", m.voltage, "volts");
    text += value_line("temperature", m.temperature, "degrees Celsius");
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
        m.skip_lines = static_cast<unsigned>(std::max<std::int64_t>(0, table["skip_lines"].value_or<std::int64_t>(0)));
        m.header = table["header"].value_or(true);
        if (const auto* columns = table["time_columns"].as_array())
            for (const auto& c : *columns) m.time_columns.push_back(c.value_or<std::string>(""));
        if (m.time_columns.empty() || m.time_columns.size() > 2)
            return std::unexpected("time_columns must name one column, or date and time");
        m.time_format = table["time_format"].value_or<std::string>("rfc3339");
        m.zone = table["zone"].value_or<std::string>("UTC");
        m.current = value_of(table, "current");
        m.voltage = value_of(table, "voltage");
        m.temperature = value_of(table, "temperature");
        if (!m.current && !m.voltage) return std::unexpected("neither current nor voltage is mapped");
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
