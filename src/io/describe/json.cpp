#include "io/describe/json.hpp"

#include <fmt/format.h>

#include <cstdint>
#include <nlohmann/json.hpp>
#include <span>
#include <string>

#include "core/ledger/crc32c.hpp"
#include "io/describe/key.hpp"
#include "io/describe/phrases.hpp"

namespace amphora::describe {
namespace {

using Json = nlohmann::ordered_json;

Json value_json(const Value& value) {
    if (const auto* flag = std::get_if<bool>(&value)) return *flag;
    if (const auto* whole = std::get_if<std::int64_t>(&value)) return *whole;
    if (const auto* number = std::get_if<double>(&value)) return *number;
    if (const auto* numbers = std::get_if<std::vector<double>>(&value)) return *numbers;
    if (const auto* texts = std::get_if<std::vector<std::string>>(&value)) return *texts;
    return value_text(value, "");
}

Json table_json(const System& system, const Table& table, std::size_t index) {
    Json object = Json::object();
    for (const auto& key : table.keys) {
        if (!key.slot.read) continue;
        const auto value = key.slot.read(system, index);
        if (!std::holds_alternative<std::monostate>(value)) object[std::string(key.name)] = value_json(value);
    }
    return object;
}

// The object at a dotted path, made where it is missing.
Json& at_path(Json& root, std::string_view path) {
    Json* here = &root;
    while (!path.empty()) {
        const auto dot = std::min(path.find('.'), path.size());
        here = &(*here)[std::string(path.substr(0, dot))];
        path.remove_prefix(std::min(dot + 1, path.size()));
    }
    return *here;
}

// The instances of a repeated table in a repeated one ("source.channel"), each put into the one that it stands in.
void add_inner(Json& root, const System& system, const Table& table, std::size_t instances) {
    const auto dot = table.path.rfind('.');
    auto& outer = at_path(root, table.path.substr(0, dot));
    const std::string name(table.path.substr(dot + 1));
    for (std::size_t i = 0; i < instances; ++i) {
        auto& here = outer[table.inside(system, i)][name];
        here.push_back(table_json(system, table, i));
    }
}

}  // namespace

Json to_json(const System& system) {
    Json root = {{"format", 1}};
    for (const auto& table : all_tables()) {
        if (table.path.empty()) continue;
        const auto instances = table.count ? table.count(system) : 1;
        if (table.presence != Presence::always && instances == 0) continue;
        if (table.inside) {
            add_inner(root, system, table, instances);
            continue;
        }
        auto& here = at_path(root, table.path);
        if (table.presence == Presence::repeated) here = Json::array();
        for (std::size_t i = 0; i < instances; ++i) {
            if (table.presence == Presence::repeated)
                here.push_back(table_json(system, table, i));
            else
                here = table_json(system, table, i);
        }
    }
    return root;
}

std::string fingerprint(const System& system) {
    const std::string text = to_json(system).dump(-1, ' ', false, Json::error_handler_t::replace);
    const std::span bytes(reinterpret_cast<const std::uint8_t*>(text.data()), text.size());
    return fmt::format("{:08x}-{}", ledger::crc32c(bytes), text.size());
}

}  // namespace amphora::describe
