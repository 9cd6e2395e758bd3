#include "core/battery/ocv_curve.hpp"

namespace amphora {
namespace {

double interpolate(std::span<const OcvPoint> points, double z) {
    std::size_t upper = 1;
    while (upper + 1 < points.size() && points[upper].state_of_charge < z) ++upper;
    const OcvPoint& a = points[upper - 1];
    const OcvPoint& b = points[upper];
    return a.volt + (b.volt - a.volt) * (z - a.state_of_charge) / (b.state_of_charge - a.state_of_charge);
}

}  // namespace

OcvCurve::OcvCurve(std::span<const OcvPoint> points) {
    constexpr double width = (high - low) / cells;
    for (std::size_t k = 0; k <= cells; ++k) volt_[k] = interpolate(points, low + width * static_cast<double>(k));
    for (std::size_t k = 0; k <= cells; ++k) {
        const std::size_t before = k == 0 ? 0 : k - 1;
        const std::size_t after = std::min(k + 1, cells);
        slope_[k] = (volt_[after] - volt_[before]) / (width * static_cast<double>(after - before));
    }
}

}  // namespace amphora
