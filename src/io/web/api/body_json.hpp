// The JSON body of a POST: an object with the members that the path takes.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "io/web/api/figure_json.hpp"

namespace amphora::web {

/// The body as an object; nothing when it is not JSON or no object.
[[nodiscard]] inline std::optional<Json> object_of(std::string_view body) {
    Json parsed = Json::parse(body, nullptr, false);
    if (!parsed.is_object()) return std::nullopt;
    return parsed;
}

/// A member that is a text; nothing when there is none.
[[nodiscard]] inline std::optional<std::string> text_in(const Json& object, const char* name) {
    const auto found = object.find(name);
    if (found == object.end() || !found->is_string()) return std::nullopt;
    return found->get<std::string>();
}

}  // namespace amphora::web
