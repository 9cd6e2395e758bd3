// Writes a simulated van to files: what its owner has, and beside it the truth.
#pragma once

#include <expected>
#include <filesystem>
#include <string>

#include "twin/van.hpp"

namespace amphora::app {

/// Lives the van for `days` and writes LOG.csv (time_utc, current_a, voltage_v, temperature_c), TRUTH.csv (time_utc,
/// soc; every five minutes, in gaps too) and SYSTEM.toml into the folder, which is made. The error is a sentence for
/// people.
std::expected<void, std::string> write_twin_case(const twin::VanSpec& spec, double days,
                                                 const std::filesystem::path& folder);

}  // namespace amphora::app
