#include "core/sun/cell_temperature.hpp"

#include <array>
#include <cmath>

namespace amphora::sun {
namespace {

struct KingRow {
    Mounting mounting;
    double a;
    double b;
    double rise;  // cell above back at 1000 W/m2, K
};

/// SAND2004-3535, table 1.
constexpr std::array<KingRow, 4> king_rows{{
    {Mounting::open_rack, -3.56, -0.0750, 3.0},
    {Mounting::glass_open_rack, -3.47, -0.0594, 3.0},
    {Mounting::close_to_roof, -2.98, -0.0471, 1.0},
    {Mounting::glued_to_roof, -2.81, -0.0455, 0.0},
}};

}  // namespace

Celsius cell_by_nominal(Celsius air, WattPerSquareMetre on_plane, Celsius nominal) {
    return air + Celsius((nominal.value() - 20.0) / 800.0 * on_plane.value());
}

PanelTemperature cell_by_mounting(Celsius air, WattPerSquareMetre on_plane, MetrePerSecond wind, Mounting mounting) {
    const KingRow& row = king_rows.at(static_cast<std::size_t>(mounting));
    const Celsius back = air + Celsius(on_plane.value() * std::exp(row.a + row.b * wind.value()));
    return {back, back + Celsius(row.rise * on_plane.value() / 1000.0)};
}

Celsius module_by_faiman(Celsius air, WattPerSquareMetre on_plane, MetrePerSecond wind) {
    return air + Celsius(on_plane.value() / (25.0 + 6.84 * wind.value()));
}

}  // namespace amphora::sun
