// The weather of a place, month by month: how much sun falls on flat ground, and how warm it is.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/sun/day.hpp"

namespace amphora::sun {

struct Month {
    KilowattHourPerSquareMetre global_per_day;  // mean day, on horizontal ground
    Celsius mean{15.0};                         // air
    Celsius swing{8.0};                         // mean daily highest minus lowest
    Degree latitude{};                          // where the system is in that month: a route has several
    Degree longitude{};
};

/// One day that was: of a weather file.
struct WeatherDay {
    double clearness = 0.0;      // 0..1
    double diffuse_share = 1.0;  // of the day's light on flat ground
    double warmer = 0.0;         // K, its mean above the month's
};

struct Climate {
    std::array<Month, 12> months{};
    /// The days of each month one after the other; empty where only means are known.
    std::array<std::vector<WeatherDay>, 12> days{};
    bool given = false;   // false: nobody said where the system is
    std::string source;   // where the figures are from
    double trust = 0.15;  // relative sd of a month's sun
};

/// Mean clearness of a month: global over extraterrestrial, 0 in the polar night.
[[nodiscard]] double clearness(const Month& month, int month_index);

/// How much of a day's light tells of the next day's: correlation of the clearness of neighbouring days of a month, as
/// a ring, all months together; 0 without days.
[[nodiscard]] double day_to_day(const Climate& climate);

/// A place of the built-in table.
struct KnownPlace {
    std::string_view name;
    Place place;
    std::array<double, 12> global_per_day;  // kWh/m2
    std::array<double, 12> mean;            // C
    std::string_view source;
    double trust;
};
[[nodiscard]] std::span<const KnownPlace> known_places();
[[nodiscard]] std::optional<KnownPlace> known_place(std::string_view name);

/// The climate of one known place over the whole year.
[[nodiscard]] Climate climate_of(const KnownPlace& place);

/// The known place nearest to a position along a great circle.
[[nodiscard]] const KnownPlace& nearest_known(const Place& place);

}  // namespace amphora::sun
