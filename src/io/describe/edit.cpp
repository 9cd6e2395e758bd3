#include "io/describe/edit.hpp"

#include <fmt/format.h>

#include <vector>

namespace amphora::describe {
namespace {

std::string_view trimmed(std::string_view s) {
    while (!s.empty() && (s.front() == ' ' || s.front() == '\t')) s.remove_prefix(1);
    while (!s.empty() && (s.back() == ' ' || s.back() == '\t' || s.back() == '\r')) s.remove_suffix(1);
    return s;
}

std::vector<std::string_view> lines_of(std::string_view text) {
    std::vector<std::string_view> lines;
    while (!text.empty()) {
        const auto end = text.find('\n');
        lines.push_back(text.substr(0, end));
        text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
    }
    return lines;
}

/// The key of a line `key = value`, or nothing.
std::string_view key_of(std::string_view line) {
    const auto equals = line.find('=');
    if (equals == std::string_view::npos || trimmed(line).starts_with('#')) return {};
    return trimmed(line.substr(0, equals));
}

bool names(std::string_view line, std::string_view name) {
    if (key_of(line) != "name") return false;
    const auto value = trimmed(line.substr(line.find('=') + 1));
    return value.starts_with(quoted(name)) || value.starts_with("'" + std::string(name) + "'");
}

struct Found {
    std::size_t after = 0;     // line behind which a new key goes
    std::size_t key_line = 0;  // of the key that is there
    bool there = false;
    bool has_key = false;
};

/// The table of that name; one without a name goes by its kind, as an inverter does.
Found find(const std::vector<std::string_view>& lines, std::string_view table, std::string_view name,
           std::string_view key) {
    const std::string head = fmt::format("[[{}]]", table);
    for (std::size_t first = 0; first < lines.size(); ++first) {
        if (!trimmed(lines[first]).starts_with(head)) continue;
        Found found{.after = first, .there = name == table};
        for (std::size_t i = first + 1; i < lines.size() && !trimmed(lines[i]).starts_with('['); ++i) {
            if (key_of(lines[i]) == "name") {
                found.there = names(lines[i], name);
                found.after = i;
            }
            if (key_of(lines[i]) != key) continue;
            found.has_key = true;
            found.key_line = i;
        }
        if (found.there) return found;
    }
    return {};
}

/// A line with another value; its comment stays.
std::string with_other_value(std::string_view line, std::string_view value) {
    const auto equals = line.find('=');
    char quote = 0;
    std::size_t comment = line.size();
    for (std::size_t i = equals + 1; i < line.size(); ++i) {
        if (quote == 0 && line[i] == '#') {
            comment = i;
            break;
        }
        if (line[i] == '"' || line[i] == '\'') quote = quote == 0 ? line[i] : quote == line[i] ? char{0} : quote;
        if (quote == '"' && line[i] == '\\') ++i;
    }
    const auto behind = comment == line.size() ? std::string() : fmt::format("   {}", line.substr(comment));
    return fmt::format("{}= {}{}", line.substr(0, equals), value, behind);
}

}  // namespace

std::string quoted(std::string_view text) {
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\') out += '\\';
        out += c;
    }
    return out + '"';
}

bool has_key(std::string_view text, std::string_view table, std::string_view name, std::string_view key) {
    return find(lines_of(text), table, name, key).has_key;
}

std::string with_key(std::string_view text, std::string_view table, std::string_view name, const NewKey& key) {
    const auto lines = lines_of(text);
    const Found found = find(lines, table, name, key.name);
    std::string out;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        out += fmt::format("{}\n", lines[i]);
        if (found.there && !found.has_key && i == found.after) out += fmt::format("{} = {}\n", key.name, key.value);
    }
    return found.there && !found.has_key ? out : std::string(text);
}

std::string with_value(std::string_view text, std::string_view table, std::string_view name, const NewKey& key) {
    const auto lines = lines_of(text);
    const Found found = find(lines, table, name, key.name);
    if (!found.there || !found.has_key) return with_key(text, table, name, key);
    std::string out;
    for (std::size_t i = 0; i < lines.size(); ++i)
        out += (i == found.key_line ? with_other_value(lines[i], key.value) : std::string(lines[i])) + "\n";
    return out;
}

}  // namespace amphora::describe
