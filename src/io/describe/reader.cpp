#include "io/describe/reader.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "io/describe/conversion.hpp"
#include "io/describe/key.hpp"
#include "io/describe/phrases.hpp"
#include "io/text/nearest.hpp"

namespace amphora::describe {
namespace {

const Table* find_table(std::string_view path) {
    const auto at = std::ranges::find(all_tables(), path, &Table::path);
    return at == all_tables().end() ? nullptr : &*at;
}

// The table of that name in another; a name with a dot in it is one name, not a path.
const Table* inner_table(const Table& table, std::string_view name) {
    return name.empty() || name.contains('.') ? nullptr : find_table(joined(table.path, name));
}

const Key* find_key(const Table& table, std::string_view name) {
    const auto at = std::ranges::find(table.keys, name, &Key::name);
    return at == table.keys.end() ? nullptr : &*at;
}

// The names that may stand in a table: its keys, then the tables in it.
std::vector<std::string_view> names_in(const Table& table) {
    std::vector<std::string_view> names;
    names.reserve(table.keys.size());
    for (const auto& key : table.keys) names.push_back(key.name);
    const auto prefix = table.path.empty() ? "" : fmt::format("{}.", table.path);
    for (const auto& other : all_tables()) {
        if (other.path.empty() || !other.path.starts_with(prefix)) continue;
        const auto rest = other.path.substr(prefix.size());
        if (!rest.contains('.')) names.push_back(rest);
    }
    return names;
}

// A key of another table with this name or one near it, as a whole path; in vain is "".
std::string elsewhere(std::string_view name) {
    std::vector<std::string_view> names;
    std::vector<std::string> paths;
    for (const auto& table : all_tables())
        for (const auto& key : table.keys) {
            names.push_back(key.name);
            paths.push_back(joined(table.path, key.name));
        }
    const auto near = text::nearest(name, names);
    return near ? paths[static_cast<std::size_t>(std::ranges::find(names, *near) - names.begin())] : "";
}

std::string unknown(const Table& table, std::string_view name) {
    const auto names = names_in(table);
    auto suggestion = did_you_mean(name, names);
    if (const auto path = suggestion.empty() ? elsewhere(name) : ""; !path.empty())
        suggestion = fmt::format("; did you mean \"{}\"?", path);
    const auto place = table.path.empty() ? "at the top of the file" : fmt::format("of [{}]", table.path);
    return fmt::format("not a key {}, expected {}{}", place, one_of(names), suggestion);
}

void read_table(Draft& draft, const Node& node, const Table& table, std::size_t index, const std::string& path);

void read_value(Draft& draft, const Node& node, const Key& key, std::size_t index, const std::string& path) {
    draft.given[path] = &node;
    const auto value = convert(key, node);
    if (value) {
        if (key.slot.write) key.slot.write(draft.system, index, *value);
        return;
    }
    for (const auto& [at, item, message] : value.error())
        draft.mistake(at, item < 0 ? path : numbered(path, static_cast<std::size_t>(item)), message);
}

void read_repeated(Draft& draft, const Node& node, const Table& table, const std::string& path) {
    const auto* list = std::get_if<List>(&node.value);
    const auto is_table = [](const Node& n) { return std::holds_alternative<Members>(n.value); };
    if (list == nullptr || !std::ranges::all_of(*list, is_table)) {
        draft.mistake(node.at, path,
                      fmt::format("expected [[{}]] with two brackets, found {}", table.path, found(node)));
        return;
    }
    for (std::size_t i = 0; i < list->size(); ++i)
        read_table(draft, (*list)[i], table, table.count(draft.system), numbered(path, i));
}

void read_member(Draft& draft, const Member& member, const Table& table, std::size_t index, const std::string& above) {
    const auto path = joined(above, printable(member.name, 60));
    const auto* key = find_key(table, member.name);
    const auto* inner = inner_table(table, member.name);
    if (key != nullptr)
        read_value(draft, member.node, *key, index, path);
    else if (inner == nullptr)
        draft.mistake(member.at, path, unknown(table, member.name));
    else if (inner->presence == Presence::repeated)
        read_repeated(draft, member.node, *inner, path);
    else if (!std::holds_alternative<Members>(member.node.value))
        draft.mistake(member.node.at, path,
                      fmt::format("expected the table [{}], found {}", inner->path, found(member.node)));
    else
        read_table(draft, member.node, *inner, index, path);
}

void read_table(Draft& draft, const Node& node, const Table& table, std::size_t index, const std::string& path) {
    draft.given[path] = &node;
    if (table.enter) table.enter(draft.system);
    if (table.presence == Presence::repeated) draft.instances[table.path].push_back(path);
    for (const auto& member : std::get<Members>(node.value)) read_member(draft, member, table, index, path);
}

// The path of one instance of a table: "meter[2]", "source[1].channel[3]".
std::string instance(const Draft& draft, const Table& table, std::size_t index) {
    return table.presence == Presence::repeated ? draft.instances.at(table.path)[index] : std::string(table.path);
}

void fill_in_key(Draft& draft, const Key& key, std::size_t index, const std::string& table) {
    const auto path = joined(table, key.name);
    if (draft.node(path) != nullptr) return;
    if (key.required) {
        const auto* opened = draft.node(table);
        const auto at = opened == nullptr ? Position{1, 1} : opened->at;
        draft.mistake(at, path, fmt::format("missing, expected {}", wanted(key)));
        return;
    }
    if (!key.otherwise.value) return;
    const auto value = key.otherwise.value(draft.system, index);
    if (key.slot.write) key.slot.write(draft.system, index, value);
    auto why = key.otherwise.why ? key.otherwise.why(draft.system) : std::string(key.otherwise.source);
    draft.notes.push_back({path, value_text(value, key.unit), std::move(why)});
}

}  // namespace

void read_given(Draft& draft, const Node& root) { read_table(draft, root, *find_table(""), 0, ""); }

void fill_in(Draft& draft) {
    for (const auto& table : all_tables()) {
        const std::size_t instances = table.count ? table.count(draft.system) : 1;
        for (std::size_t i = 0; i < instances; ++i) {
            const auto path = instance(draft, table, i);
            if (!draft.sound(path)) continue;  // it is no table at all
            for (const auto& key : table.keys) fill_in_key(draft, key, i, path);
        }
    }
}

}  // namespace amphora::describe
