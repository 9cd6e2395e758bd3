// What the recorder knows, in words.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

namespace amphora::app {

/// A few lines from the answer to {"ask": "now"}: how the battery stands, the other figures, and which source is
/// silent.
[[nodiscard]] std::string now_text(const nlohmann::ordered_json& now);

/// The same in one line, for watching.
[[nodiscard]] std::string now_line(const nlohmann::ordered_json& now);

}  // namespace amphora::app
