// The demonstration's page: the van lives on, and whoever looks sees it.
#pragma once

#include <cstdint>
#include <filesystem>

#include "app/demo_van.hpp"
#include "app/exit.hpp"
#include "io/record/derive.hpp"

namespace amphora::app {

struct DemoPageSettings {
    std::uint16_t port = 8765;
    int ports_to_try = 20;
    Instant begin;                 // where the van's clock stands at the start
    double speed = 60;             // seconds that the van lives in one of ours
    std::filesystem::path folder;  // of its record and its description
    record::Origin origin;
};

/// The record of the demonstration, in its folder.
[[nodiscard]] inline std::filesystem::path record_in(const std::filesystem::path& folder) {
    return folder / "blue-heron.amphora";
}

/// Serves the page until SIGINT or SIGTERM. Prints its address to stdout, and what to do to stderr.
Exit serve_demo_page(DemoVan& van, const DemoPageSettings& settings);

}  // namespace amphora::app
