// What a meter showed, after a scale was put to it: 13040 steps of a millivolt are 13.04 V and not 13.040000000000001.
#pragma once

#include <array>
#include <cmath>

namespace amphora {

/// The decimal with the fewest places (nine at most) within a few roundings of `value`; `value` itself where there is
/// none. A record keeps decimals in a tenth of the room.
[[nodiscard]] inline double shown(double value) {
    constexpr std::array<double, 10> powers{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9};
    constexpr double most_whole = 0x1p51;
    constexpr double few_roundings = 1e-15;  // of the value: four units of its last place, or eight
    for (const double power : powers) {
        const double whole = std::nearbyint(value * power);
        if (!(std::abs(whole) < most_whole)) return value;
        const double decimal = whole / power;
        if (std::abs(decimal - value) <= few_roundings * std::abs(value)) return decimal;
    }
    return value;
}

}  // namespace amphora
