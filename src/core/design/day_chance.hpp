// What chance makes of one simulated day, for 64 draws side by side: how clear and how warm it is, how much is used.
#pragma once

#include <array>
#include <cstdint>

#include "core/design/year_tables.hpp"

namespace amphora::design {

constexpr int lanes = 64;
using Lane = std::array<float, lanes>;

/// What chance does beside the sun.
struct Chances {
    float use_sd = 0.20F;    // of a day's use, relative
    float warmth_sd = 3.0F;  // K, of a day's temperature about the month's; without a weather file
    float warmth_memory = 0.7F;
    /// Days of a weather file are drawn in runs of this mean length (stationary bootstrap, Politis and Romano, J. Am.
    /// Stat. Assoc. 89, 1994, 1303): of the correlation from day to day a share of 1 - 1/length is kept.
    float run_days = 10.0F;
};

/// What today knows of yesterday.
struct ChanceMemory {
    Lane sky{};                                   // clearness as a normal deviate
    Lane warmth{};                                // likewise
    std::array<std::uint32_t, lanes> file_day{};  // which day of the month in the weather file
};

struct DayChance {
    alignas(64) float clearness[lanes];
    float diffuse[lanes];  // share of the light
    float use[lanes];      // times the mean day's
    float warmer[lanes];   // K above the month's mean
};

/// Draws day 0..364 of the year for the draws from `first_draw` on; `key` picks the chance. A weather file's days are
/// drawn in runs within their month, a month as a ring, its clearness and its warmth together; without one the days
/// follow their laws about the month's means.
void draw_day(const YearTables& tables, const Chances& chances, std::uint64_t key, std::uint64_t first_draw, int day,
              ChanceMemory& memory, DayChance& out);

}  // namespace amphora::design
