// The words for sources, as in the description and for people.
#pragma once

#include <string>
#include <string_view>

#include "io/live/live_source.hpp"

namespace amphora::live {

/// As in the description: "modbus", "stdin".
[[nodiscard]] std::string_view word(described::SourceKind kind);

/// "battery", "charger", "appliance", "probe".
[[nodiscard]] std::string_view word(Subject subject);

/// "off", "connecting", "running", "waiting".
[[nodiscard]] std::string_view word(SourceState state);

/// "120 readings, 2 refused, 1 gap, 0 errors, 0 reconnects", and the trouble if there is one.
[[nodiscard]] std::string summary(const SourceHealth& health);

}  // namespace amphora::live
