// A system as JSON, keys and units as in the description.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "core/system/system.hpp"

namespace amphora::describe {

/// Every key of the table that has a value, defaults included, nested as in the description.
[[nodiscard]] nlohmann::ordered_json to_json(const System& system);

}  // namespace amphora::describe
