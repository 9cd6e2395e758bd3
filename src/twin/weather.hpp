// Sun, clouds and air at one place: what the panels and the battery box feel.
#pragma once

#include "core/quantity/instant.hpp"
#include "core/quantity/quantity.hpp"
#include "twin/random.hpp"

namespace amphora::twin {

struct WeatherSpec {
    double latitude = 47;     // degrees north
    double longitude = 8;     // degrees east
    Celsius mean{10};         // of the year
    double season = 9;        // K, amplitude of the yearly wave
    double day = 5;           // K, amplitude of the daily wave under a clear sky
    double spell = 3.5;       // K, sd of warm and cold spells
    double clearness = 0.5;   // mean share of the clear sky's sunshine that arrives
    double patchiness = 0.3;  // how much clouds come and go within a day
};

class Weather {
public:
    Weather(const WeatherSpec& spec, Random random) : spec_(spec), random_(random) {}

    /// Moves to this moment; to be called once a minute or so, times never falling.
    void advance(Instant now);

    /// Sunshine on the flat, in W per m2.
    [[nodiscard]] double sunshine() const { return sunshine_; }
    [[nodiscard]] Celsius air() const { return air_; }
    /// Hours of solar time since midnight, 0 to 24.
    [[nodiscard]] double hour() const { return hour_; }
    /// Days since the epoch in solar time.
    [[nodiscard]] long day() const { return day_; }

private:
    void new_day();

    WeatherSpec spec_;
    Random random_;
    long day_ = -1;
    double hour_ = 0;
    double sky_ = 0, spell_ = 0;          // normal AR(1) states from day to day
    double day_clear_ = 0.5, drift_ = 0;  // clearness of the day, and its wandering within
    bool behind_cloud_ = false;
    Instant last_{};
    double sunshine_ = 0;
    Celsius air_{10};
};

/// Mean sunshine of a clear day there, in hours of 1000 W/m2 on the flat.
[[nodiscard]] double clear_sun_hours(double latitude, long day_of_year);

}  // namespace amphora::twin
