#include "core/sun/plane.hpp"

#include <algorithm>
#include <cmath>

namespace amphora::sun {
namespace {

double sky_seen(Degree tilt) { return (1.0 + cosine(tilt)) / 2.0; }

double ground_seen(Degree tilt) { return (1.0 - cosine(tilt)) / 2.0; }

OnPlane anisotropic(const Horizontal& sky, const Facing& facing, double horizon_gain) {
    const double ring = sky.extraterrestrial > 0.0 ? std::clamp(sky.beam / sky.extraterrestrial, 0.0, 1.0) : 0.0;
    OnPlane on = isotropic(sky, facing);
    const double even = sky.diffuse * (1.0 - ring) * sky_seen(facing.tilt) * horizon_gain;
    on.diffuse = even + sky.diffuse * ring * facing.beam_ratio;
    return on;
}

}  // namespace

double diffuse_share_of_hour(double k) {
    if (k <= 0.22) return 1.0 - 0.09 * std::max(k, 0.0);
    if (k > 0.80) return 0.165;
    return 0.9511 + k * (-0.1604 + k * (4.388 + k * (-16.638 + k * 12.336)));
}

double diffuse_share_of_day(double k, Degree sunset_angle) {
    if (sunset_angle <= Degree(81.4)) {
        if (k >= 0.715) return 0.143;
        return 1.0 + k * (-0.2727 + k * (2.4495 + k * (-11.9514 + k * 9.3879)));
    }
    if (k >= 0.722) return 0.175;
    return 1.0 + k * (0.2832 + k * (-2.5557 + k * 0.8448));
}

OnPlane isotropic(const Horizontal& sky, const Facing& facing) {
    return {.beam = sky.beam * facing.beam_ratio,
            .diffuse = sky.diffuse * sky_seen(facing.tilt),
            .ground = (sky.beam + sky.diffuse) * facing.ground_reflectance * ground_seen(facing.tilt)};
}

OnPlane hay_davies(const Horizontal& sky, const Facing& facing) { return anisotropic(sky, facing, 1.0); }

OnPlane hay_davies_reindl(const Horizontal& sky, const Facing& facing) {
    const double global = sky.beam + sky.diffuse;
    const double bright = global > 0.0 ? std::sqrt(std::max(0.0, sky.beam / global)) : 0.0;
    return anisotropic(sky, facing, 1.0 + bright * std::pow(sine(facing.tilt * 0.5), 3));
}

double glass_transmits(Degree incidence) {
    if (incidence >= Degree(85.0)) return 0.0;
    return std::clamp(1.0 - 0.05 * (1.0 / cosine(incidence) - 1.0), 0.0, 1.0);
}

}  // namespace amphora::sun
