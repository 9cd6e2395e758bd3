// A typical year from a file: EnergyPlus weather (EPW) or the CSV of PVGIS (European Commission, JRC). Only its monthly
// means are kept: the simulation draws its own days about them.
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

/// The twelve months of a weather file's text; `name` goes into the messages and the source.
[[nodiscard]] std::expected<sun::Climate, WeatherError> read_weather(std::string_view text, std::string_view name);

/// The same from a file of at most 64 MB.
[[nodiscard]] std::expected<sun::Climate, WeatherError> read_weather_file(const std::filesystem::path& file);

}  // namespace amphora::weather
