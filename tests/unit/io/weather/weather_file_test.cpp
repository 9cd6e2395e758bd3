#include "io/weather/weather_file.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <numeric>

namespace amphora::weather {
namespace {

/// Typical year at 45 N 8 E, PVGIS (c) European Union, 2001-2025: its README states 1435.861 kWh/m2 and 13.564 C.
TEST(WeatherFile, PvgisYear) {
    const std::filesystem::path file =
        std::filesystem::path(AMPHORA_SOURCE_DIR) / "../shared/data/solar/tmy-45N-8E.csv";
    if (!std::filesystem::exists(file)) GTEST_SKIP() << file << " is not here";
    const auto climate = read_weather_file(file);
    ASSERT_TRUE(climate) << climate.error().message;
    constexpr double days = 365.0;
    double year = 0.0;
    double warmth = 0.0;
    for (int m = 0; m < 12; ++m) {
        year += climate->months.at(static_cast<std::size_t>(m)).global_per_day.value() * sun::days_in_month(m);
        warmth += climate->months.at(static_cast<std::size_t>(m)).mean.value() * sun::days_in_month(m) / days;
    }
    EXPECT_NEAR(year, 1435.861, 0.01);
    EXPECT_NEAR(warmth, 13.564, 0.01);
    EXPECT_EQ(climate->months[0].latitude, Degree(45.0));
    // The built-in place of that region is this very file.
    EXPECT_NEAR(sun::known_place("piedmont")->global_per_day[5], climate->months[5].global_per_day.value(), 0.001);
}

TEST(WeatherFile, EnergyPlusYear) {
    std::string text = "LOCATION,Somewhere,-,-,made,0,50.5,10.25,1.0,200.0\n";
    for (int i = 0; i < 7; ++i) text += "HEADER\n";
    for (int day = 1; day <= 365; ++day) {
        for (int hour = 1; hour <= 24; ++hour) {
            text += fmt::format("2001,{},1,{},60,flags,{},0,50,101000,0,0,300,{},0,0\n", sun::month_of_day(day) + 1,
                                hour, hour <= 12 ? 5 : 15, hour == 12 ? 500 : 0);
        }
    }
    const auto climate = read_weather(text, "made.epw");
    ASSERT_TRUE(climate) << climate.error().message;
    EXPECT_NEAR(climate->months[3].global_per_day.value(), 0.5, 1e-9);
    EXPECT_NEAR(climate->months[3].mean.value(), 10.0, 1e-9);
    EXPECT_NEAR(climate->months[3].swing.value(), 10.0, 1e-9);
    EXPECT_EQ(climate->months[3].latitude, Degree(50.5));
}

TEST(WeatherFile, SaysWhatItWants) {
    const auto nothing = read_weather("a,b,c\n1,2,3\n", "notes.csv");
    ASSERT_FALSE(nothing);
    EXPECT_NE(nothing.error().message.find("EPW"), std::string::npos);
    EXPECT_FALSE(read_weather("LOCATION,X,-,-,made,0,50.5,10.25,1.0,200.0\n", "short.epw"));
    EXPECT_FALSE(read_weather_file("/no/such/file.epw"));
}

}  // namespace
}  // namespace amphora::weather
