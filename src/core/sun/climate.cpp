#include "core/sun/climate.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace amphora::sun {
namespace {

constexpr std::string_view pvgis =
    "typical meteorological year at 45 N 8 E, PVGIS (c) European Union, 2001-2025, reuse with attribution; one year's "
    "worth of months";
constexpr std::string_view memory =
    "rounded long-term means from memory, yearly sum inside the published bands for the city; give your own figures "
    "where it matters";

constexpr Place at(double latitude, double longitude) { return {Degree(latitude), Degree(longitude), Metre(0.0)}; }

constexpr std::array<KnownPlace, 12> places{{
    {"oslo",
     at(59.9, 10.8),
     {0.35, 0.95, 2.1, 3.6, 5.0, 5.5, 5.1, 4.0, 2.5, 1.15, 0.45, 0.22},
     {-4, -4, 0, 5, 11, 15, 17, 16, 11, 6, 1, -3},
     memory,
     0.15},
    {"edinburgh",
     at(55.9, -3.2),
     {0.45, 1.05, 2.1, 3.5, 4.6, 4.7, 4.5, 3.7, 2.6, 1.35, 0.6, 0.33},
     {4, 4, 6, 8, 10, 13, 15, 15, 13, 10, 7, 4},
     memory,
     0.15},
    {"berlin",
     at(52.5, 13.4),
     {0.6, 1.2, 2.5, 4.0, 5.1, 5.4, 5.1, 4.4, 3.0, 1.6, 0.75, 0.5},
     {1, 2, 5, 10, 15, 18, 20, 20, 15, 10, 5, 2},
     memory,
     0.15},
    {"london",
     at(51.5, -0.1),
     {0.7, 1.3, 2.5, 3.8, 4.8, 5.1, 5.0, 4.2, 3.0, 1.7, 0.9, 0.55},
     {5, 5, 8, 10, 13, 17, 19, 18, 16, 12, 8, 6},
     memory,
     0.15},
    {"munich",
     at(48.1, 11.6),
     {1.05, 1.9, 3.1, 4.3, 5.2, 5.5, 5.6, 4.8, 3.5, 2.1, 1.2, 0.85},
     {0, 1, 5, 9, 14, 17, 19, 19, 14, 10, 4, 1},
     memory,
     0.15},
    {"lyon",
     at(45.8, 4.8),
     {1.1, 1.9, 3.3, 4.5, 5.4, 6.2, 6.3, 5.4, 4.0, 2.3, 1.3, 0.9},
     {4, 5, 9, 12, 16, 20, 23, 22, 18, 14, 8, 5},
     memory,
     0.15},
    {"piedmont",
     at(45.0, 8.0),
     {1.543, 2.393, 3.824, 4.047, 4.833, 7.205, 6.619, 5.758, 4.516, 2.872, 2.021, 1.491},
     {5.2, 7.0, 8.7, 12.4, 17.0, 22.5, 21.9, 22.1, 20.2, 15.0, 6.3, 4.1},
     pvgis,
     0.10},
    {"rome",
     at(41.9, 12.5),
     {1.8, 2.6, 3.9, 5.1, 6.3, 7.0, 7.1, 6.2, 4.7, 3.2, 2.0, 1.6},
     {8, 9, 11, 14, 18, 22, 25, 25, 22, 17, 12, 9},
     memory,
     0.15},
    {"madrid",
     at(40.4, -3.7),
     {2.0, 3.0, 4.5, 5.6, 6.6, 7.5, 7.6, 6.6, 5.1, 3.3, 2.2, 1.7},
     {6, 8, 11, 13, 17, 23, 26, 26, 21, 16, 10, 7},
     memory,
     0.15},
    {"lisbon",
     at(38.7, -9.1),
     {2.1, 2.9, 4.3, 5.5, 6.7, 7.2, 7.5, 6.8, 5.3, 3.5, 2.3, 1.8},
     {12, 12, 14, 16, 18, 21, 23, 24, 22, 19, 15, 12},
     memory,
     0.15},
    {"athens",
     at(38.0, 23.7),
     {2.0, 2.7, 3.9, 5.3, 6.6, 7.4, 7.4, 6.7, 5.2, 3.5, 2.2, 1.7},
     {10, 11, 13, 16, 21, 26, 29, 29, 24, 20, 15, 12},
     memory,
     0.15},
    {"seville",
     at(37.4, -6.0),
     {2.5, 3.4, 4.8, 5.9, 7.0, 7.8, 7.9, 7.0, 5.5, 3.9, 2.7, 2.2},
     {11, 13, 16, 18, 22, 26, 28, 29, 26, 21, 15, 12},
     memory,
     0.15},
}};

/// Cosine of the angle between two places, seen from the centre of the Earth: greater is nearer.
double nearness(const Place& a, const Place& b) {
    return sine(a.latitude) * sine(b.latitude) +
           cosine(a.latitude) * cosine(b.latitude) * cosine(a.longitude - b.longitude);
}

}  // namespace

std::span<const KnownPlace> known_places() { return places; }

std::optional<KnownPlace> known_place(std::string_view name) {
    const auto* it = std::ranges::find(places, name, &KnownPlace::name);
    if (it == places.end()) return std::nullopt;
    return *it;
}

Climate climate_of(const KnownPlace& place) {
    Climate c;
    c.given = true;
    c.source = std::string(place.source);
    c.trust = place.trust;
    for (std::size_t m = 0; m < c.months.size(); ++m) {
        c.months.at(m) = {.global_per_day = KilowattHourPerSquareMetre(place.global_per_day.at(m)),
                          .mean = Celsius(place.mean.at(m)),
                          .latitude = place.place.latitude,
                          .longitude = place.place.longitude};
    }
    return c;
}

const KnownPlace& nearest_known(const Place& place) {
    return *std::ranges::max_element(places, {}, [&](const KnownPlace& k) { return nearness(k.place, place); });
}

double day_to_day(const Climate& climate) {
    double together = 0.0;
    double alone = 0.0;
    for (const auto& days : climate.days) {
        double mean = 0.0;
        for (const WeatherDay& d : days) mean += d.clearness / static_cast<double>(days.size());
        for (std::size_t i = 0; i < days.size(); ++i) {
            const double today = days[i].clearness - mean;
            together += today * (days[(i + 1) % days.size()].clearness - mean);
            alone += today * today;
        }
    }
    return alone > 0.0 ? together / alone : 0.0;
}

double clearness(const Month& month, int month_index) {
    const Day day = day_of_year(middle_of_month(month_index), month.latitude);
    if (day.extraterrestrial.value() <= 0.05) return 0.0;
    return month.global_per_day / day.extraterrestrial;
}

}  // namespace amphora::sun
