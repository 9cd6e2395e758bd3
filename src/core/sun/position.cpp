#include "core/sun/position.hpp"

#include <algorithm>
#include <cmath>

namespace amphora::sun {
namespace {

constexpr double j2000_unix_seconds = 946728000.0;  // 2000-01-01 12:00 UTC
constexpr double seconds_per_day = 86400.0;
constexpr double degrees_per_hour = 15.0;

double wrap(double degrees, double low) { return degrees - 360.0 * std::floor((degrees - low) / 360.0); }

double days_since_j2000(Instant at) { return (at.unix_seconds() - j2000_unix_seconds) / seconds_per_day; }

/// Greenwich mean sidereal time in degrees (USNO: 18.697374558 h + 24.06570982441908 h a day).
double sidereal_degrees(double days) { return wrap((18.697374558 + 24.06570982441908 * days) * degrees_per_hour, 0.0); }

Degree arc_cosine(double x) { return to_degrees(Radian(std::acos(std::clamp(x, -1.0, 1.0)))); }

}  // namespace

Ephemeris ephemeris(Instant at) {
    const double d = days_since_j2000(at);
    const Degree anomaly(wrap(357.529 + 0.98560028 * d, 0.0));
    const double mean_longitude = wrap(280.459 + 0.98564736 * d, 0.0);
    const Degree longitude(mean_longitude + 1.915 * sine(anomaly) + 0.020 * sine(anomaly * 2.0));
    const Degree obliquity(23.439 - 0.00000036 * d);

    const double ascension =
        to_degrees(Radian(std::atan2(cosine(obliquity) * sine(longitude), cosine(longitude)))).value();
    Ephemeris e;
    e.right_ascension = Degree(wrap(ascension, 0.0));
    e.declination = to_degrees(Radian(std::asin(sine(obliquity) * sine(longitude))));
    const double ahead = wrap(mean_longitude - e.right_ascension.value(), -180.0);
    e.equation_of_time = to_seconds(Hour(ahead / degrees_per_hour));
    e.distance_au = 1.00014 - 0.01671 * cosine(anomaly) - 0.00014 * cosine(anomaly * 2.0);
    return e;
}

Position position(Degree latitude, Degree declination, Degree hour_angle) {
    Position p;
    p.declination = declination;
    p.hour_angle = hour_angle;
    p.zenith =
        arc_cosine(sine(latitude) * sine(declination) + cosine(latitude) * cosine(declination) * cosine(hour_angle));
    const double east = -cosine(declination) * sine(hour_angle);
    const double north =
        cosine(latitude) * sine(declination) - sine(latitude) * cosine(declination) * cosine(hour_angle);
    p.azimuth = Degree(wrap(to_degrees(Radian(std::atan2(east, north))).value(), 0.0));
    return p;
}

Position position(Instant at, const Place& place) {
    const Ephemeris e = ephemeris(at);
    const double local_sidereal = sidereal_degrees(days_since_j2000(at)) + place.longitude.value();
    const Degree hour_angle(wrap(local_sidereal - e.right_ascension.value(), -180.0));
    Position p = position(place.latitude, e.declination, hour_angle);
    p.distance_au = e.distance_au;
    return p;
}

Degree incidence(const Position& sun, Degree tilt, Degree surface_azimuth) {
    return arc_cosine(cosine(sun.zenith) * cosine(tilt) +
                      sine(sun.zenith) * sine(tilt) * cosine(sun.azimuth - surface_azimuth));
}

}  // namespace amphora::sun
