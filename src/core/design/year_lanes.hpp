// Many simulated years at once: 64 draws side by side, one hour at a time, in plain loops that the compiler turns into
// vector instructions. No branch and no call inside the hour.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "core/design/year_tables.hpp"

namespace amphora::design {

constexpr int lanes = 64;
using Lane = std::array<float, lanes>;

/// What chance does beside the sun.
struct Chances {
    float use_sd = 0.20F;    // of a day's use, relative
    float warmth_sd = 3.0F;  // K, of a day's temperature about the month's
    float warmth_memory = 0.7F;
};

/// What one block of draws saw in one year, by month.
struct BlockYear {
    std::array<Lane, 12> unserved{};  // Wh
    std::array<Lane, 12> dry_hours{};
    std::array<Lane, 12> lowest{};  // state of charge
    std::array<Lane, 12> wasted{};  // Wh of charge that found no room
    Lane moved{};                   // Ah taken out in the year
};

/// The state of a block between years.
struct Block {
    Lane first_well{};  // Ah in the well that gives current
    Lane total{};       // Ah in both
    Lane sky{};         // yesterday's clearness as a normal deviate
    Lane warmth{};      // yesterday's, likewise
};

/// A full bank on a middling day.
[[nodiscard]] Block start(const YearTables& tables);

/// Walks one year of 64 draws, beginning at tables.first_day. `first_draw` and `year` pick the chance. With `trace` the
/// state of charge of lane 0 is added hour by hour.
[[nodiscard]] BlockYear walk_year(const YearTables& tables, const Chances& chances, std::uint64_t seed,
                                  std::uint64_t first_draw, int year, Block& block,
                                  std::vector<float>* trace = nullptr);

}  // namespace amphora::design
