// How hot a panel gets, and what that costs.
#pragma once

#include "core/quantity/irradiance.hpp"

namespace amphora::sun {

/// How the panel is mounted, as far as its temperature cares.
enum class Mounting { open_rack, glass_open_rack, close_to_roof, glued_to_roof };

/// Cell temperature from the nominal operating cell temperature (800 W/m2, 20 C, 1 m/s; IEC 61215).
[[nodiscard]] Celsius cell_by_nominal(Celsius air, WattPerSquareMetre on_plane, Celsius nominal);

struct PanelTemperature {
    Celsius back;
    Celsius cell;
};
/// Back and cell temperature by King, Boyson and Kratochvil (SAND2004-3535, equations 11 and 12).
[[nodiscard]] PanelTemperature cell_by_mounting(Celsius air, WattPerSquareMetre on_plane, MetrePerSecond wind,
                                                Mounting mounting);

/// Module temperature by Faiman (Prog. Photovolt. 16, 2008, 307); U0 = 25.0, U1 = 6.84 W/m2/K from memory.
[[nodiscard]] Celsius module_by_faiman(Celsius air, WattPerSquareMetre on_plane, MetrePerSecond wind);

/// Share of the rated power left at a cell temperature; `per_kelvin` is negative, -0.0035 to -0.004 for silicon.
[[nodiscard]] constexpr double power_share(Celsius cell, double per_kelvin) {
    return 1.0 + per_kelvin * (cell.value() - 25.0);
}

}  // namespace amphora::sun
