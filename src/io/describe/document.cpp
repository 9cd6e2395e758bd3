#include "io/describe/document.hpp"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <array>
#include <utility>

#include "io/describe/key_depth.hpp"
#include "io/describe/phrases.hpp"

namespace amphora::describe {
namespace {

Position position(const toml::source_region& source) { return {source.begin.line, source.begin.column}; }

Node node_from(const toml::node& from);

Members members_from(const toml::table& table) {
    Members members;
    for (const auto& [key, value] : table)
        members.push_back({position(key.source()), std::string(key.str()), node_from(value)});
    std::ranges::stable_sort(members, {}, &Member::at);
    return members;
}

List list_from(const toml::array& array) {
    List list;
    for (const auto& item : array) list.push_back(node_from(item));
    return list;
}

std::chrono::year_month_day date_from(const toml::date& date) {
    return std::chrono::year(date.year) / std::chrono::month(date.month) / std::chrono::day(date.day);
}

Node node_from(const toml::node& from) {
    const auto at = position(from.source());
    if (const auto* table = from.as_table()) return {at, members_from(*table)};
    if (const auto* array = from.as_array()) return {at, list_from(*array)};
    if (const auto* text = from.as_string()) return {at, text->get()};
    if (const auto* whole = from.as_integer()) return {at, whole->get()};
    if (const auto* number = from.as_floating_point()) return {at, number->get()};
    if (const auto* yes_no = from.as_boolean()) return {at, yes_no->get()};
    if (const auto* date = from.as_date()) return {at, date_from(date->get())};
    return {at, Moment{}};
}

// What the library says, and what a person most likely has to do.
std::string explain(std::string_view said) {
    constexpr std::array<std::pair<std::string_view, std::string_view>, 4> hints = {{
        {"could not determine value type", "; text goes in double quotes: \"lfp\""},
        {"saw ','", "; decimals are written with a point: 1.5"},
        {"cannot redefine existing table", "; a table that may be repeated has two brackets: [[meter]]"},
        {"cannot redefine", "; each key may be given once"},
    }};
    const auto* const hint = std::ranges::find_if(hints, [&](const auto& h) { return said.contains(h.first); });
    if (said.starts_with("Error while parsing ")) said.remove_prefix(std::string_view("Error while parsing ").size());
    return fmt::format("not valid TOML: {}{}", printable(said, 200), hint == hints.end() ? "" : hint->second);
}

// The key of the line in which the grammar was violated, if there is one.
std::string key_on_line(std::string_view text, std::uint32_t line) {
    for (std::uint32_t before = 1; before < line && !text.empty(); ++before)
        text.remove_prefix(std::min(text.size(), text.find('\n') + 1));
    text = text.substr(0, text.find('\n'));
    const auto equals = text.find('=');
    if (equals == std::string_view::npos) return "";
    const auto last = text.substr(0, equals).find_last_not_of(" \t");
    const auto first = text.find_first_not_of(" \t");
    return last == std::string_view::npos ? "" : printable(text.substr(first, last - first + 1), 60);
}

}  // namespace

std::expected<Node, Mistake> parse_document(std::string_view text) {
    if (const auto deep = too_deep_key(text))
        return std::unexpected(Mistake{deep->line, deep->column, "", "expected a key of a few parts, found dozens"});
    try {
        return node_from(toml::parse(text));
    } catch (const toml::parse_error& error) {
        const auto at = position(error.source());
        return std::unexpected(Mistake{at.line, at.column, key_on_line(text, at.line), explain(error.description())});
    }
}

}  // namespace amphora::describe
