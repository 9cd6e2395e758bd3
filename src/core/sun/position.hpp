// Where the sun stands, from the United States Naval Observatory's approximate solar coordinates (good to about one
// minute of arc between 1800 and 2200). Refraction is left out: below the horizon means geometrically below.
#pragma once

#include "core/quantity/instant.hpp"
#include "core/quantity/irradiance.hpp"
#include "core/system/system.hpp"

namespace amphora::sun {

/// The sun as seen from the centre of the Earth.
struct Ephemeris {
    Degree right_ascension;
    Degree declination;
    Second equation_of_time;  // apparent minus mean solar time
    double distance_au = 1.0;
};

/// The sun as seen from a place.
struct Position {
    Degree zenith;      // 0 overhead, 90 on the horizon, 180 below
    Degree azimuth;     // from north over east, 0..360
    Degree hour_angle;  // -180..180, 0 at solar noon, positive in the afternoon
    Degree declination;
    double distance_au = 1.0;
};

/// Solar coordinates at a moment (UTC taken for terrestrial time: within 0.001 degree).
[[nodiscard]] Ephemeris ephemeris(Instant at);

/// Position of the sun over a place.
[[nodiscard]] Position position(Instant at, const Place& place);

/// Zenith and azimuth from declination and hour angle at a latitude: plain spherical trigonometry.
[[nodiscard]] Position position(Degree latitude, Degree declination, Degree hour_angle);

/// Angle between the sun's rays and the normal of a surface, 0..180. Tilt 0 lies flat; azimuth is where it looks to.
[[nodiscard]] Degree incidence(const Position& sun, Degree tilt, Degree surface_azimuth);

}  // namespace amphora::sun
