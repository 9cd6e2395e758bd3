// Many simulated years at once: 64 draws side by side, one hour at a time, in plain loops that the compiler turns into
// vector instructions. No branch and no call inside the hour.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "core/design/day_chance.hpp"

namespace amphora::design {

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
    ChanceMemory memory;
};

/// A full bank on a middling day.
[[nodiscard]] Block start(const YearTables& tables);

/// Walks one year of 64 draws, beginning at tables.first_day. `first_draw` and `year` pick the chance. With `trace` the
/// state of charge of lane 0 is added hour by hour.
[[nodiscard]] BlockYear walk_year(const YearTables& tables, const Chances& chances, std::uint64_t seed,
                                  std::uint64_t first_draw, int year, Block& block,
                                  std::vector<float>* trace = nullptr);

}  // namespace amphora::design
