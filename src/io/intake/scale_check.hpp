// Whether a log's figures can be volts, amperes and degrees of the battery as they stand, or only in another unit.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/quantity/reading.hpp"
#include "core/system/system.hpp"

namespace amphora::intake {

/// What to do with the figures of one quantity.
struct ScaleVerdict {
    double factor = 1.0;  // by which they are to be multiplied further
    bool fahrenheit = false;
    std::string said{};  // what was found, for a person; empty when they stand as they are
    bool sure = true;    // otherwise somebody has to look
};

/// The readings as they stand; `system` is the one described, or nothing; `unit_named` tells that the log itself names
/// the unit; `whole` that its figures have no decimals.
[[nodiscard]] ScaleVerdict judge_voltage(const std::vector<Reading>& readings, const System* system, bool unit_named);
[[nodiscard]] ScaleVerdict judge_current(const std::vector<Reading>& readings, const System* system, bool unit_named,
                                         bool whole);
[[nodiscard]] ScaleVerdict judge_temperature(const std::vector<Reading>& readings, bool unit_named);

/// The battery's resistance in ohms as steps of the current show it, whatever their sign (Ohm's law); nothing when the
/// voltage does not follow the current.
[[nodiscard]] std::optional<double> resistance_in(const std::vector<Reading>& readings);

}  // namespace amphora::intake
