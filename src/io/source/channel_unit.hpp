// The units in which a source may give what a channel measures.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/system/live.hpp"

namespace amphora::source {

/// From a figure in a unit to the measurand's own (V, A, degrees Celsius, W, a share of 1): factor * figure + shift.
struct UnitConversion {
    double factor = 1.0;
    double shift = 0.0;
};

/// Nothing where the unit does not belong to the measurand. An empty unit is the measurand's own, and mV for a shunt's
/// drop.
[[nodiscard]] std::optional<UnitConversion> conversion(Measurand measures, std::string_view unit);

/// The units that a measurand may be given in, for messages: "A, mA or uA".
[[nodiscard]] std::string units_of(Measurand measures);

/// The word for a measurand, as in the description: "cell-voltage".
[[nodiscard]] std::string_view word(Measurand measures);

/// The unit in which this program tells it: "V", "A", "°C", "W"; empty for a share.
[[nodiscard]] std::string_view own_unit(Measurand measures);

/// True if the value can be: no battery of a van, boat or cabin has 10 000 V or -200 C. What lies beyond is a fault of
/// the wire.
[[nodiscard]] bool plausible(Measurand measures, double value);

}  // namespace amphora::source
