// A line of a log in JSON lines, and what stands in it.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <string_view>

namespace amphora::intake {

/// The value at a key or a JSON pointer as text; empty where there is none.
[[nodiscard]] std::string text_at(const nlohmann::json& object, const std::string& name);

/// A line of a JSON array that stands one object to a line: without the bracket and the comma.
[[nodiscard]] std::string_view bare_object(std::string_view line);

}  // namespace amphora::intake
