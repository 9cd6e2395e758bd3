// What the name of a column says: which quantity it holds, in which unit, and whether it is the battery's.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "io/intake/cells.hpp"

namespace amphora::intake {

enum class Quantity { time, current, voltage, temperature, power, shunt_drop };

/// How well a name fits a quantity of the battery: above 0 it does, the more the better; at or below 0 it does not, be
/// it that it names another quantity, a limit, or something other than the battery.
[[nodiscard]] int fit_of(std::string_view name, Quantity quantity);

/// Which way a current or power goes, by the name of its column.
enum class Way { both, in, out };
[[nodiscard]] Way way_of(std::string_view name);

/// The unit that the name gives for the quantity: "I (mA)", "voltage_mv", "T [\u00B0F]"; nothing when it gives none.
[[nodiscard]] std::optional<Unit> unit_in(std::string_view name, Quantity quantity);

/// True for a column of times that says that they are in UTC.
[[nodiscard]] bool names_utc(std::string_view name);

/// True for a name such as "device" or "meter", whose column may tell several meters apart.
[[nodiscard]] bool names_meters(std::string_view name);

/// True for words that say that current leaves the battery ("discharging", "out").
[[nodiscard]] bool says_out(std::string_view word);
/// True for words that say that it does not.
[[nodiscard]] bool says_in(std::string_view word);
/// True for names of the battery itself among meters ("battery", "house bank").
[[nodiscard]] bool says_battery(std::string_view name);

/// True for a cell that holds a unit and nothing else: "[V]", "mA", "\u00B0C", "s".
[[nodiscard]] bool is_unit_cell(std::string_view cell);

}  // namespace amphora::intake
