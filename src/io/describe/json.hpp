// A system as JSON, keys and units as in the description.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "core/system/system.hpp"

namespace amphora::describe {

/// Every key of the table that has a value, defaults included, nested as in the description.
[[nodiscard]] nlohmann::ordered_json to_json(const System& system);

/// A short text that is another one when anything in the system is; spacing and comments of the description do not
/// matter.
[[nodiscard]] std::string fingerprint(const System& system);

}  // namespace amphora::describe
