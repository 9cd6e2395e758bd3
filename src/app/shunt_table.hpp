// Shunts side by side, as text and as JSON.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "core/design/plan.hpp"

namespace amphora::app {

/// A table with one row per shunt and a sentence of advice; empty when fewer than two are described.
[[nodiscard]] std::string shunt_table(const design::Plan& plan);

[[nodiscard]] nlohmann::ordered_json shunts_json(const design::Plan& plan);

}  // namespace amphora::app
