// How much sun a cloudless sky lets through.
#pragma once

#include "core/quantity/angle.hpp"
#include "core/quantity/irradiance.hpp"
#include "core/quantity/length.hpp"

namespace amphora::sun {

/// Relative optical air mass at a zenith angle of 0..90 degrees (Kasten and Young, Applied Optics 28, 1989, 4735).
/// Infinite below the horizon.
[[nodiscard]] double air_mass(Degree zenith);

/// Global horizontal irradiance under a clear sky from the zenith angle alone (Haurwitz, J. Meteorology 2, 1945, 154,
/// with the exponent 0.059). Among models that need nothing but the zenith it does best (SAND2012-2389).
[[nodiscard]] WattPerSquareMetre haurwitz(Degree zenith);

struct ClearSky {
    WattPerSquareMetre global_horizontal;
    WattPerSquareMetre direct_normal;
};
/// Clear sky from height and Linke turbidity, 2 (very clean) to 7 (dusty) (Ineichen and Perez, Solar Energy 73, 2002,
/// 151), without the optional enhancement factor. `extraterrestrial` is the normal irradiance above the atmosphere.
[[nodiscard]] ClearSky ineichen_perez(Degree zenith, Metre altitude, double linke_turbidity,
                                      WattPerSquareMetre extraterrestrial);

}  // namespace amphora::sun
