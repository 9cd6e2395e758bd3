#include "twin/curve.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace amphora::twin {
namespace {

using Points = std::span<const std::pair<double, double>>;

// S. Sunil, K. Pattipati, B. Balasingam, IEEE Trans. Instrum. Meas. 2025: piecewise linear C/32 curve of a 1.1 Ah cell.
constexpr std::pair<double, double> measured_breakpoints[] = {
    {0, 2.0102},      {0.0033, 2.4177}, {0.0117, 2.7405}, {0.0267, 2.9299}, {0.0534, 3.0872},
    {0.0885, 3.1942}, {0.2972, 3.2772}, {0.9833, 3.3511}, {0.9950, 3.4180}, {1, 3.5981}};

// The two flats of a large prismatic cell with the staging step near 62 %; shape from memory, no source.
constexpr std::pair<double, double> two_flats[] = {
    {0, 2.50},     {0.005, 2.70}, {0.01, 2.84},  {0.02, 2.98},  {0.04, 3.10},  {0.06, 3.165},  {0.09, 3.205},
    {0.12, 3.215}, {0.16, 3.23},  {0.22, 3.256}, {0.28, 3.276}, {0.33, 3.287}, {0.40, 3.2905}, {0.50, 3.2925},
    {0.58, 3.297}, {0.61, 3.303}, {0.64, 3.318}, {0.67, 3.328}, {0.72, 3.331}, {0.82, 3.333},  {0.92, 3.335},
    {0.96, 3.338}, {0.98, 3.348}, {0.99, 3.372}, {0.995, 3.42}, {1, 3.56}};

// The coarse table that owners pass around, per cell; common practice, no source.
constexpr std::pair<double, double> owners_table[] = {{0, 2.60},     {0.02, 2.85}, {0.05, 3.05},  {0.10, 3.20},
                                                      {0.17, 3.225}, {0.25, 3.25}, {0.35, 3.275}, {0.50, 3.2875},
                                                      {0.80, 3.325}, {0.95, 3.35}, {0.985, 3.40}, {1, 3.55}};

// A cell with a steep foot and a late knee; shape from memory, no source.
constexpr std::pair<double, double> late_knee[] = {
    {0, 2.30},     {0.01, 2.72},  {0.03, 2.98},  {0.05, 3.12},   {0.08, 3.19},  {0.10, 3.202}, {0.15, 3.212},
    {0.20, 3.238}, {0.25, 3.262}, {0.30, 3.280}, {0.35, 3.286},  {0.50, 3.290}, {0.66, 3.294}, {0.69, 3.310},
    {0.72, 3.322}, {0.80, 3.326}, {0.95, 3.330}, {0.985, 3.336}, {0.994, 3.36}, {0.998, 3.43}, {1, 3.60}};

// A cell that rises early towards full; shape from memory, no source.
constexpr std::pair<double, double> soft_knee[] = {
    {0, 2.50},    {0.01, 2.80},  {0.03, 3.02},  {0.06, 3.15},  {0.10, 3.20},  {0.20, 3.25},
    {0.30, 3.28}, {0.45, 3.295}, {0.60, 3.31},  {0.70, 3.325}, {0.85, 3.335}, {0.92, 3.343},
    {0.95, 3.35}, {0.97, 3.362}, {0.985, 3.39}, {0.995, 3.45}, {1, 3.60}};

double smooth_staged(double z) {
    const auto step = [z](double at, double wide) { return 0.5 * (1 + std::tanh((z - at) / wide)); };
    return 3.205 + 0.055 * step(0.22, 0.07) + 0.036 * step(0.66, 0.035) + 0.03 * z - 0.62 * std::exp(-z / 0.022) +
           0.24 * std::exp((z - 1) / 0.006);
}

double logarithmic(double z) {
    const double low = std::max(z, 1e-4);
    const double high = std::max(1 - z, 1e-5);
    return 3.30 + 0.035 * std::log(low) - 0.016 * std::log(high) + 0.012 * z - 0.09 * std::exp(-z / 0.04);
}

// A smooth random function of the state of charge within +-size: three waves of random phase.
std::function<double(double)> waves(Random& random, double size) {
    struct Wave {
        double height, cycles, phase;
    };
    std::array<Wave, 3> drawn{};
    for (auto& w : drawn) w = {random.even(0.2, 1), random.even(0.4, 3.5), random.even(0, 2 * std::numbers::pi)};
    const double sum = drawn[0].height + drawn[1].height + drawn[2].height;
    return [=](double z) {
        double total = 0;
        for (const auto& w : drawn) total += w.height * std::sin(2 * std::numbers::pi * w.cycles * z + w.phase);
        return size * total / sum;
    };
}

}  // namespace

Curve::Curve(Points points)
    : Curve([points](double z) {
          const auto next = std::find_if(points.begin() + 1, points.end() - 1, [z](auto& p) { return p.first >= z; });
          const auto& [z1, v1] = *next;
          const auto& [z0, v0] = *(next - 1);
          return v0 + (v1 - v0) * (z - z0) / (z1 - z0);
      }) {}

Curve::Curve(const std::function<double(double)>& volts) {
    for (int k = 0; k <= intervals; ++k)
        volts_[static_cast<std::size_t>(k)] = volts(static_cast<double>(k) / intervals);
}

Curve Curve::bent(const std::function<double(double, double)>& bend, double least) const {
    Curve result([&](double z) { return bend(z, at(z).voltage); });
    for (std::size_t k = 1; k <= intervals; ++k)
        result.volts_[k] = std::max(result.volts_[k], result.volts_[k - 1] + least / intervals);
    return result;
}

Curve plain_lfp_curve() {
    return Curve(smooth_staged).bent([](double z, double v) { return v + 0.25 * std::exp((z - 1) / 0.002); }, 0.005);
}

Curve draw_lfp_curve(Random& random) {
    Curve shape;
    switch (random.pick(8)) {
        case 0:
            shape = Curve(Points(measured_breakpoints));
            break;
        case 1:
            shape = Curve(Points(two_flats));
            break;
        case 2:
            shape = Curve(Points(owners_table));
            break;
        case 3:
            shape = Curve(Points(late_knee));
            break;
        case 4:
            shape = Curve(logarithmic);
            break;
        case 5:
            shape = Curve(Points(soft_knee));
            break;
        default:
            shape = Curve(smooth_staged);
            break;
    }
    const double stretch = random.even(-0.04, 0.04);
    // No cell takes charge beyond full: the last part in a thousand is a wall that every charger stops at.
    const double wall = std::max(0.0, 3.78 - shape.at(1.0).voltage);
    const double wall_depth = random.even_log(0.001, 0.005);
    const Curve base = shape.bent([=](double z, double v) { return v + wall * std::exp((z - 1) / wall_depth); }, 0.004);
    if (random.chance(0.25)) return base;
    const auto wave = waves(random, random.even(0, 0.012));
    const double tilt = random.even(-0.012, 0.012);
    const double lift = random.even(-0.006, 0.006);
    return base.bent(
        [&](double z, double) {
            const double moved = z + stretch * std::sin(std::numbers::pi * z);
            return base.at(moved).voltage + wave(z) + tilt * (z - 0.5) + lift;
        },
        0.004);
}

Curve draw_lead_curve(Random& random) {
    // BCI-type table, 12 V battery rested at 26.7 C, printed by a battery maker; per cell here, made relative.
    constexpr std::pair<double, double> handbook[] = {{0, 0}, {0.25, 0.224}, {0.50, 0.461}, {0.75, 0.737}, {1, 1}};
    const double empty = random.even(11.6, 12.0) / 6;
    const double full = random.even(12.75, 13.10) / 6;
    const double bow = random.even(-0.25, 0.25);
    const double droop = random.chance(0.5) ? random.even(0, 0.04) : 0;
    const bool by_table = random.chance(0.3);
    const Curve table{Points(handbook)};
    return Curve([=](double z) {
        const double share = by_table ? table.at(z).voltage : z + bow * z * (1 - z);
        return empty + (full - empty) * share - droop * std::exp(-z / 0.04);
    });
}

}  // namespace amphora::twin
