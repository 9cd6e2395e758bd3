// Allen, Pereira, Raes, Smith: "Crop evapotranspiration", FAO Irrigation and Drainage Paper 56, chapter 3, examples 8
// to 10 and Annex 2 table 2.6.
#include <gtest/gtest.h>

#include <array>

#include "core/sun/day.hpp"

namespace amphora::sun {
namespace {

double megajoules(const Day& d) { return d.extraterrestrial.value() * megajoules_per_kilowatt_hour; }

TEST(Fao56, Example8) {
    const Day d = day_of_year(246, Degree(-20.0));
    EXPECT_NEAR(d.inverse_distance, 0.985, 0.0005);
    EXPECT_NEAR(to_radians(d.declination).value(), 0.120, 0.0005);
    EXPECT_NEAR(to_radians(d.sunset_angle).value(), 1.527, 0.0005);
    EXPECT_NEAR(megajoules(d), 32.2, 0.05);
}

TEST(Fao56, Example9DaylightHours) { EXPECT_NEAR(day_of_year(246, Degree(-20.0)).daylight.value(), 11.7, 0.05); }

TEST(Fao56, Example10RioDeJaneiro) {
    const Day d = day_of_year(135, Degree(-22.9));
    EXPECT_NEAR(megajoules(d), 25.1, 0.05);
    EXPECT_NEAR(d.daylight.value(), 10.9, 0.05);
}

/// Annex 2 gives the table to 0.1; these are recomputed from the paper's equations for the middle of each month.
TEST(Fao56, MonthsByLatitude) {
    constexpr std::array<double, 12> north50{8.89,  14.45, 22.24, 31.52, 38.50, 41.71,
                                             40.21, 34.34, 25.61, 16.83, 10.17, 7.51};
    constexpr std::array<double, 12> north60{3.25,  8.34,  16.57, 27.55, 36.66, 41.22,
                                             39.14, 31.25, 20.52, 10.82, 4.37,  2.16};
    for (int month = 0; month < 12; ++month) {
        const auto m = static_cast<std::size_t>(month);
        EXPECT_NEAR(megajoules(day_of_year(middle_of_month(month), Degree(50.0))), north50[m], 0.006) << month;
        EXPECT_NEAR(megajoules(day_of_year(middle_of_month(month), Degree(60.0))), north60[m], 0.006) << month;
    }
}

}  // namespace
}  // namespace amphora::sun
