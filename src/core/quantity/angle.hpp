// Angles. Latitude is positive north, longitude positive east, azimuth counts from north over east.
#pragma once

#include <numbers>

#include "core/quantity/quantity.hpp"

namespace amphora {

using Degree = Quantity<struct DegreeTag>;
using Radian = Quantity<struct RadianTag>;

constexpr Radian to_radians(Degree d) { return Radian(d.value() * std::numbers::pi / 180.0); }
constexpr Degree to_degrees(Radian r) { return Degree(r.value() * 180.0 / std::numbers::pi); }

inline double sine(Degree d) { return std::sin(to_radians(d).value()); }
inline double cosine(Degree d) { return std::cos(to_radians(d).value()); }

}  // namespace amphora
