// A typical year from a file: EnergyPlus weather (EPW) or the CSV of PVGIS (European Commission, JRC). Kept are its
// monthly means and its days, which the simulation draws from.
#pragma once

#include <expected>
#include <filesystem>
#include <string>
#include <string_view>

#include "core/sun/climate.hpp"

namespace amphora::weather {

/// What is wrong with a weather file, for a person: what, where, and what to do.
struct WeatherError {
    std::string message;
};

/// Months and days of a weather file's text; `name` goes into the messages and the source. Hours that an EPW file marks
/// as missing are left out.
[[nodiscard]] std::expected<sun::Climate, WeatherError> read_weather(std::string_view text, std::string_view name);

/// The same from a file of at most 64 MB.
[[nodiscard]] std::expected<sun::Climate, WeatherError> read_weather_file(const std::filesystem::path& file);

}  // namespace amphora::weather
