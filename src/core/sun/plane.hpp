// From what falls on the ground to what falls on a panel that is tilted and turned.
#pragma once

#include "core/quantity/angle.hpp"

namespace amphora::sun {

/// Share of an hour's global irradiation that is diffuse, by its clearness index k 0..1 (Erbs, Klein and Duffie, Solar
/// Energy 28, 1982, 293; Duffie and Beckman eq. 2.10.1).
[[nodiscard]] double diffuse_share_of_hour(double k);

/// The same for a whole day (Erbs, Klein and Duffie 1982; Duffie and Beckman eq. 2.11.1), by the sunset hour angle.
[[nodiscard]] double diffuse_share_of_day(double k, Degree sunset_angle);

/// Irradiance on a horizontal surface, in parts, all in one unit (W/m2 or MJ/m2 over an hour).
struct Horizontal {
    double beam = 0.0;
    double diffuse = 0.0;
    double extraterrestrial = 0.0;
};

/// What reaches the panel, in the same unit.
struct OnPlane {
    double beam = 0.0;
    double diffuse = 0.0;
    double ground = 0.0;
    [[nodiscard]] double total() const { return beam + diffuse + ground; }
};

/// The panel towards the sun: `beam_ratio` is cos(incidence)/cos(zenith), not below 0.
struct Facing {
    double beam_ratio = 1.0;
    Degree tilt{};
    double ground_reflectance = 0.2;
};

/// Isotropic sky (Liu and Jordan 1963; Duffie and Beckman eq. 2.15.1).
[[nodiscard]] OnPlane isotropic(const Horizontal& sky, const Facing& facing);
/// With the bright ring about the sun (Hay and Davies 1980; Duffie and Beckman eq. 2.16.4).
[[nodiscard]] OnPlane hay_davies(const Horizontal& sky, const Facing& facing);
/// With ring and bright horizon (Reindl et al. 1990; Duffie and Beckman eq. 2.16.7).
[[nodiscard]] OnPlane hay_davies_reindl(const Horizontal& sky, const Facing& facing);

/// Part of the beam that a flat glass cover lets in at an incidence angle, relative to straight on (ASHRAE Standard 93
/// form, b0 = 0.05 from memory). Zero from 85 degrees on.
[[nodiscard]] double glass_transmits(Degree incidence);

}  // namespace amphora::sun
