#include "core/design/conductor.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace amphora::design {
namespace {

using Mm = SquareMillimetre;
using R = OhmPerKilometre;

constexpr std::array<IecResistance, 15> iec_rows{{
    {Mm(0.5), R(36.0), R(36.7), R(39.0), R(40.1)},
    {Mm(0.75), R(24.5), R(24.8), R(26.0), R(26.7)},
    {Mm(1), R(18.1), R(18.2), R(19.5), R(20.0)},
    {Mm(1.5), R(12.1), R(12.2), R(13.3), R(13.7)},
    {Mm(2.5), R(7.41), R(7.56), R(7.98), R(8.21)},
    {Mm(4), R(4.61), R(4.70), R(4.95), R(5.09)},
    {Mm(6), R(3.08), R(3.11), R(3.30), R(3.39)},
    {Mm(10), R(1.83), R(1.84), R(1.91), R(1.95)},
    {Mm(16), R(1.15), R(1.16), R(1.21), R(1.24)},
    {Mm(25), R(0.727), R(0.734), R(0.780), R(0.795)},
    {Mm(35), R(0.524), R(0.529), R(0.554), R(0.565)},  // NOLINT(modernize-use-std-numbers)
    {Mm(50), R(0.387), R(0.391), R(0.386), R(0.393)},
    {Mm(70), R(0.268), R(0.270), R(0.272), R(0.277)},
    {Mm(95), R(0.193), R(0.195), R(0.206), R(0.210)},
    {Mm(120), R(0.153), R(0.154), R(0.161), R(0.164)},
}};

constexpr std::array<std::string_view, 15> metric_labels{"0.5", "0.75", "1",  "1.5", "2.5", "4",  "6",  "10",
                                                         "16",  "25",   "35", "50",  "70",  "95", "120"};

struct Gauge {
    std::string_view label;
    int number;
};
constexpr std::array<Gauge, 15> gauges{{{"18", 18},
                                        {"16", 16},
                                        {"14", 14},
                                        {"12", 12},
                                        {"10", 10},
                                        {"8", 8},
                                        {"6", 6},
                                        {"4", 4},
                                        {"3", 3},
                                        {"2", 2},
                                        {"1", 1},
                                        {"1/0", 0},
                                        {"2/0", -1},
                                        {"3/0", -2},
                                        {"4/0", -3}}};

std::vector<ConductorSize> metric_sizes() {
    std::vector<ConductorSize> all;
    all.reserve(iec_rows.size());
    for (std::size_t i = 0; i < iec_rows.size(); ++i) {
        all.push_back({SizeSeries::metric, metric_labels.at(i), iec_rows.at(i).area, iec_rows.at(i).flexible});
    }
    return all;
}

/// ASTM B258: diameter 0.005 in x 92^((36 - n)/39); 10.371 ohm for a mil-foot of copper at 20 C (NBS Handbook 100).
std::vector<ConductorSize> american_sizes() {
    constexpr double square_millimetres_per_circular_mil = 5.067074790974977e-4;
    constexpr double ohm_mil_foot = 10.3712;
    constexpr double feet_per_kilometre = 3280.839895;
    std::vector<ConductorSize> all;
    for (const Gauge& g : gauges) {
        const double mils = 5.0 * std::pow(92.0, (36.0 - g.number) / 39.0);
        const double circular = mils * mils;
        all.push_back({SizeSeries::american, g.label, Mm(circular * square_millimetres_per_circular_mil),
                       R(ohm_mil_foot / circular * feet_per_kilometre)});
    }
    return all;
}

}  // namespace

std::span<const IecResistance> iec_60228() { return iec_rows; }

std::span<const ConductorSize> sizes(SizeSeries series) {
    static const std::vector<ConductorSize> metric = metric_sizes();
    static const std::vector<ConductorSize> american = american_sizes();
    return series == SizeSeries::metric ? metric : american;
}

std::optional<ConductorSize> metric_size(SquareMillimetre area) {
    for (const ConductorSize& s : sizes(SizeSeries::metric)) {
        if (std::abs((s.area - area).value()) < 1e-6) return s;
    }
    return std::nullopt;
}

std::optional<ConductorSize> gauge_size(std::string_view label) {
    const auto all = sizes(SizeSeries::american);
    const auto it = std::ranges::find(all, label, &ConductorSize::label);
    if (it == all.end()) return std::nullopt;
    return *it;
}

std::string name(const ConductorSize& size) {
    return std::string(size.label) + (size.series == SizeSeries::metric ? " mm²" : " AWG");
}

}  // namespace amphora::design
