#include "io/intake/json_line.hpp"

#include <nlohmann/json.hpp>

#include "io/source/json_figure.hpp"

namespace amphora::intake {

std::string text_at(const nlohmann::json& object, const std::string& name) {
    const nlohmann::json* value = nullptr;
    if (name.starts_with('/') && source::is_json_pointer(name)) {
        const nlohmann::json::json_pointer place(name);
        if (object.contains(place)) value = &object.at(place);
    } else if (const auto found = object.find(name); found != object.end()) {
        value = &*found;
    }
    if (value == nullptr || value->is_null()) return {};
    return value->is_string() ? value->get<std::string>() : value->dump();
}

std::string_view bare_object(std::string_view line) {
    const auto first = line.find_first_not_of(" \t[");
    if (first == std::string_view::npos) return {};
    line.remove_prefix(first);
    return line.substr(0, line.find_last_not_of(" \t,]\r") + 1);
}

}  // namespace amphora::intake
