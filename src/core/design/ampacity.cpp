#include "core/design/ampacity.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace amphora::design {
namespace {

constexpr double table_ambient = 30.0;
constexpr double engine_ambient = 50.0;

/// 33 CFR 183.425 table 5, 30 C, single conductors, amperes by insulation temperature.
constexpr std::array<double, 7> gauge_columns{60, 75, 80, 90, 105, 125, 200};
constexpr std::array<std::array<double, 7>, 15> gauge_rows{{
    {10, 10, 15, 20, 20, 25, 25},         // 18
    {15, 15, 20, 25, 25, 30, 35},         // 16
    {20, 20, 25, 30, 35, 40, 45},         // 14
    {25, 25, 35, 40, 45, 50, 55},         // 12
    {40, 40, 50, 55, 60, 70, 70},         // 10
    {55, 65, 70, 70, 80, 90, 100},        // 8
    {80, 95, 100, 100, 120, 125, 135},    // 6
    {105, 125, 130, 135, 160, 170, 180},  // 4
    {120, 145, 150, 155, 180, 195, 210},  // 3
    {140, 170, 175, 180, 210, 225, 240},  // 2
    {165, 195, 210, 210, 245, 265, 280},  // 1
    {195, 230, 245, 245, 285, 305, 325},  // 1/0
    {225, 265, 285, 285, 330, 355, 370},  // 2/0
    {260, 310, 330, 330, 385, 410, 430},  // 3/0
    {300, 360, 385, 385, 445, 475, 510},  // 4/0
}};
/// The notes of that table: factor inside an engine space. 0.85 for 105 C was read; 60 to 125 C agree with other codes
/// and the square-root law (tests/reference/cfr_183_425_test.cpp); 1.00 for 200 C is from memory.
constexpr std::array<double, 7> engine_factors{0.58, 0.75, 0.78, 0.82, 0.85, 0.89, 1.00};

/// ISO 10133:2012 table A.2, 30 C, single conductors; FROM MEMORY: check against the standard. The first row, for
/// 0.5 mm2, is not in that table: half of the 0.75 mm2 row, a caution of our own.
constexpr std::array<double, 6> metric_columns{60, 70, 85, 105, 125, 200};
constexpr std::array<std::array<double, 6>, 15> metric_rows{{
    {3, 5, 6, 8, 10, 12},            // 0.5
    {6, 10, 12, 16, 20, 25},         // 0.75
    {8, 14, 18, 20, 25, 35},         // 1
    {12, 18, 21, 25, 30, 40},        // 1.5
    {17, 25, 30, 35, 40, 45},        // 2.5
    {22, 35, 40, 45, 50, 55},        // 4
    {29, 45, 50, 60, 70, 75},        // 6
    {40, 65, 70, 90, 100, 120},      // 10
    {54, 90, 100, 130, 150, 170},    // 16
    {71, 120, 140, 170, 185, 200},   // 25
    {87, 160, 185, 210, 225, 240},   // 35
    {105, 210, 230, 270, 300, 325},  // 50
    {135, 265, 285, 330, 360, 375},  // 70
    {165, 310, 330, 390, 410, 430},  // 95
    {190, 360, 400, 450, 480, 520},  // 120
}};

constexpr std::string_view gauge_source = "33 CFR 183.425, table 5";
constexpr std::string_view metric_source = "ISO 10133:2012, table A.2 (from memory)";

/// The last column that the insulation reaches; none below the first.
template <std::size_t N>
int column_for(const std::array<double, N>& columns, double insulation) {
    const auto it = std::ranges::upper_bound(columns, insulation);
    return static_cast<int>(it - columns.begin()) - 1;
}

double rated(const ConductorSize& size, double insulation) {
    const auto all = sizes(size.series);
    const auto row = static_cast<std::size_t>(std::ranges::find(all, size.label, &ConductorSize::label) - all.begin());
    const int column = size.series == SizeSeries::american ? column_for(gauge_columns, insulation)
                                                           : column_for(metric_columns, insulation);
    if (column < 0 || row >= all.size()) return 0.0;
    const auto c = static_cast<std::size_t>(column);
    return size.series == SizeSeries::american ? gauge_rows.at(row).at(c) : metric_rows.at(row).at(c);
}

}  // namespace

double ambient_factor(Celsius insulation, Celsius ambient, bool engine_space) {
    const double t = insulation.value();
    if (engine_space && ambient.value() <= engine_ambient) {
        const int column = column_for(gauge_columns, t);
        return column < 0 ? 0.0 : engine_factors.at(static_cast<std::size_t>(column));
    }
    if (ambient.value() >= t || t <= table_ambient) return 0.0;
    return std::min(1.0, std::sqrt((t - ambient.value()) / (t - table_ambient)));
}

double bundle_factor(int conductors) {
    if (conductors < 3) return 1.0;
    if (conductors == 3) return 0.70;
    if (conductors <= 6) return 0.60;
    if (conductors <= 24) return 0.50;
    return 0.40;
}

Ampacity ampacity(const ConductorSize& size, const Laying& laying) {
    return {.in_free_air = Ampere(rated(size, laying.insulation.value())),
            .for_ambient = ambient_factor(laying.insulation, laying.ambient, laying.engine_space),
            .for_bundle = bundle_factor(laying.bundled),
            .source = size.series == SizeSeries::american ? gauge_source : metric_source};
}

Celsius conductor_temperature(const Ampacity& capacity, const Laying& laying, Ampere current) {
    const Celsius around = laying.engine_space ? std::max(laying.ambient, Celsius(engine_ambient)) : laying.ambient;
    if (capacity.corrected() <= Ampere(0.0)) return laying.insulation;
    const double share = current / capacity.corrected();
    return around + (laying.insulation - around) * (share * share);
}

}  // namespace amphora::design
