#include "core/sun/clear_sky.hpp"

#include <cmath>
#include <limits>

namespace amphora::sun {

double air_mass(Degree zenith) {
    if (zenith > Degree(90.0)) return std::numeric_limits<double>::infinity();
    return 1.0 / (cosine(zenith) + 0.50572 * std::pow(96.07995 - zenith.value(), -1.6364));
}

WattPerSquareMetre haurwitz(Degree zenith) {
    const double c = cosine(zenith);
    if (c <= 0.0) return WattPerSquareMetre(0.0);
    return WattPerSquareMetre(1098.0 * c * std::exp(-0.059 / c));
}

ClearSky ineichen_perez(Degree zenith, Metre altitude, double linke_turbidity, WattPerSquareMetre extraterrestrial) {
    const double c = cosine(zenith);
    if (c <= 0.0) return {};
    const double h = altitude.value();
    const double mass = air_mass(zenith);
    const double fh1 = std::exp(-h / 8000.0);
    const double fh2 = std::exp(-h / 1250.0);
    const double cg1 = 5.09e-5 * h + 0.868;
    const double cg2 = 3.92e-5 * h + 0.0387;
    ClearSky sky;
    sky.global_horizontal =
        extraterrestrial * (cg1 * c * std::exp(-cg2 * mass * (fh1 + fh2 * (linke_turbidity - 1.0))));
    sky.direct_normal = extraterrestrial * ((0.664 + 0.163 / fh1) * std::exp(-0.09 * mass * (linke_turbidity - 1.0)));
    return sky;
}

}  // namespace amphora::sun
