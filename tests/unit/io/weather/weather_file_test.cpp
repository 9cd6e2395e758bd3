#include "io/weather/weather_file.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

namespace amphora::weather {
namespace {

/// Typical year at 45 N 8 E, PVGIS (c) European Union, 2001-2025: its README states 1435.861 kWh/m2 and 13.564 C.
const std::filesystem::path file = std::filesystem::path(AMPHORA_SOURCE_DIR) / "../shared/data/solar/tmy-45N-8E.csv";

TEST(WeatherFile, PvgisYear) {
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

/// The days put together again give the published sums. Two days of May have no light at all: a gap of the file.
TEST(WeatherFile, PvgisDays) {
    if (!std::filesystem::exists(file)) GTEST_SKIP() << file << " is not here";
    const auto climate = read_weather_file(file);
    ASSERT_TRUE(climate) << climate.error().message;
    double warmer = 0.0;
    double brightest = 0.0;
    int day = 0;
    for (int m = 0; m < 12; ++m) {
        const auto& days = climate->days.at(static_cast<std::size_t>(m));
        EXPECT_EQ(std::ssize(days), sun::days_in_month(m) - (m == 4 ? 2 : 0)) << m;
        const auto& month = climate->months.at(static_cast<std::size_t>(m));
        double global = 0.0;
        for (const sun::WeatherDay& d : days) {
            global += d.clearness * sun::day_of_year(++day, month.latitude).extraterrestrial.value();
            warmer += d.warmer;
            brightest = std::max(brightest, d.clearness);
            EXPECT_GT(d.clearness, 0.02) << m;
        }
        if (m == 4) {
            day += 2;
            continue;
        }
        EXPECT_NEAR(global, month.global_per_day.value() * sun::days_in_month(m), 1e-6) << m;
    }
    EXPECT_NEAR(warmer / 363.0, 0.0, 0.02);
    EXPECT_LT(brightest, 0.82) << "days hardly get clearer than this (Bendt et al. 1981)";
    EXPECT_NEAR(sun::day_to_day(*climate), 0.4, 0.15);
}

/// The same year written as EPW by its published list of fields is the same year.
TEST(WeatherFile, EnergyPlusReadsAsPvgisDoes) {
    if (!std::filesystem::exists(file)) GTEST_SKIP() << file << " is not here";
    std::ifstream in(file);
    std::string text = "LOCATION,Somewhere,-,-,made,0,45.0,8.0,0.0,250.0\n";
    for (int i = 0; i < 7; ++i) text += "HEADER\n";
    for (std::string line; std::getline(in, line);) {
        if (line.size() < 14 || line[8] != ':') continue;
        std::vector<std::string> cells;
        std::stringstream row(line);
        for (std::string cell; std::getline(row, cell, ',');) cells.push_back(cell);
        text += fmt::format("{},{},{},{},60,flags,{},0,50,101000,0,0,300,{},0,{}\n", line.substr(0, 4),
                            std::stoi(line.substr(4, 2)), std::stoi(line.substr(6, 2)),
                            std::stoi(line.substr(9, 2)) + 1, cells[1], cells[3], cells[5]);
    }
    const auto epw = read_weather(text, "made.epw");
    const auto pvgis = read_weather_file(file);
    ASSERT_TRUE(epw) << epw.error().message;
    for (std::size_t m = 0; m < 12; ++m) {
        ASSERT_EQ(epw->days[m].size(), pvgis->days[m].size()) << m;
        for (std::size_t d = 0; d < epw->days[m].size(); ++d) {
            EXPECT_NEAR(epw->days[m][d].clearness, pvgis->days[m][d].clearness, 1e-9);
            EXPECT_NEAR(epw->days[m][d].diffuse_share, pvgis->days[m][d].diffuse_share, 1e-9);
            EXPECT_NEAR(epw->days[m][d].warmer, pvgis->days[m][d].warmer, 0.3) << "the days begin an hour apart";
        }
    }
    // 9999 stands for no reading: that day is left out, and no month gets brighter by it.
    const auto noon = text.find("2018,1,5,13,");
    ASSERT_NE(noon, std::string::npos);
    const auto light = text.find(",300,", noon) + 5;
    text.replace(light, text.find(',', light) - light, "9999");
    const auto holed = read_weather(text, "made.epw");
    ASSERT_TRUE(holed);
    EXPECT_EQ(holed->days[0].size(), 30U);
    EXPECT_LT(holed->months[0].global_per_day, pvgis->months[0].global_per_day * 1.01);
}

/// Far from Greenwich midnight by UTC falls into the day: bright and dull days must not be mixed.
TEST(WeatherFile, DaysAreCutAtTheSunsMidnight) {
    for (const int west : {0, 60, 120, -120, -170}) {
        std::string text = fmt::format(
            "Latitude (decimal degrees): 40.0\nLongitude (decimal degrees): {}\ntime(UTC),T2m,G(h)\n", -west);
        for (int n = 0; n < 365 * 24; ++n) {
            const int by_sun = (n - west / 15 + 365 * 24) % (365 * 24);
            const int day = n / 24 + 1;
            int date = day;
            const int month = sun::month_of_day(day);
            for (int m = 0; m < month; ++m) date -= sun::days_in_month(m);
            const bool up = by_sun % 24 >= 8 && by_sun % 24 < 16;
            text += fmt::format("2010{:02}{:02}:{:02}00,10,{}\n", month + 1, date, n % 24,
                                !up                    ? 0
                                : by_sun / 24 % 2 == 0 ? 300
                                                       : 60);
        }
        const auto climate = read_weather(text, "made.csv");
        ASSERT_TRUE(climate) << climate.error().message;
        ASSERT_FALSE(climate->days[0].empty());
        int days = 0;
        for (const auto& month : climate->days) {
            for (std::size_t d = 0; d + 1 < month.size(); ++d) {
                const double ratio = month[d].clearness / month[d + 1].clearness;
                EXPECT_GT(std::max(ratio, 1.0 / ratio), 4.0) << west;
            }
            days += static_cast<int>(month.size());
        }
        EXPECT_EQ(days, 365) << west;
    }
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
