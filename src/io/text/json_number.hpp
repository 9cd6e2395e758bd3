// A number in JSON, which knows neither infinity nor NaN.
#pragma once

#include <cmath>
#include <nlohmann/json.hpp>

namespace amphora::text {

/// The value, or null when it is not finite.
[[nodiscard]] inline nlohmann::ordered_json json_number(double value) {
    return std::isfinite(value) ? nlohmann::ordered_json(value) : nlohmann::ordered_json(nullptr);
}

}  // namespace amphora::text
