// What the recorder knows, in words.
#pragma once

#include <cstdint>
#include <nlohmann/json_fwd.hpp>
#include <string>

namespace amphora::app {

/// A few lines from the answer to {"ask": "now"}: how the battery stands, the other figures, and which source is
/// silent.
[[nodiscard]] std::string now_text(const nlohmann::ordered_json& now);

/// How the guards stand, from the answer to {"ask": "guards"}: those that are tripped or see nothing, relays in
/// trouble, and what could not be told yet. `now_us` is the recorder's time.
[[nodiscard]] std::string guards_text(const nlohmann::ordered_json& guards, std::int64_t now_us);

/// Of that, what could not be told yet; empty where all was.
[[nodiscard]] std::string untold_text(const nlohmann::ordered_json& guards);

/// The present in one line, for watching.
[[nodiscard]] std::string now_line(const nlohmann::ordered_json& now);

}  // namespace amphora::app
