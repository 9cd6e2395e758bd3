// The hours of a weather file gathered to days by the sun's clock, so that a day's light is never cut in two.
#pragma once

#include <array>
#include <vector>

#include "core/sun/climate.hpp"

namespace amphora::weather {

/// One hour, as far as it matters here.
struct FileHour {
    int month = 0;          // 0..11
    int day = 1;            // of the month
    int hour = 0;           // 0..23, by the file's clock
    double global = 0.0;    // W/m2, on flat ground
    double diffuse = -1.0;  // W/m2; negative where it is not known
    double air = 0.0;       // C
};

class FileDays {
public:
    /// `ahead`: hours that the sun's clock is ahead of the file's.
    explicit FileDays(int ahead) : ahead_(ahead) {}

    void add(const FileHour& hour);

    /// The whole days by month, about the means of `climate`. A day with hours missing or without any light under a
    /// high sun is a gap in the file and left out. All empty if some month has fewer than twenty days.
    [[nodiscard]] std::array<std::vector<sun::WeatherDay>, 12> by_month(const sun::Climate& climate) const;

private:
    struct Day {
        int hours = 0;
        int month = 0;  // that of its noon
        int day = 1;
        double global = 0.0;  // Wh/m2
        double diffuse = 0.0;
        bool diffuse_known = true;
        double air = 0.0;
    };
    [[nodiscard]] std::vector<Day> round_the_year() const;

    int ahead_;
    int last_hour_ = 24;
    std::vector<Day> days_;
};

}  // namespace amphora::weather
