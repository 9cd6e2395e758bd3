// Other ways of keeping readings, fed with the same ones: each to a file, and how long that took.
#pragma once

#include <array>
#include <cstdint>
#include <filesystem>
#include <span>

namespace amphora::bench {

using Values = std::array<std::int32_t, 3>;  // current, voltage, temperature in the meter's steps; one a second

struct Kept {
    std::uint64_t bytes = 0;
    double seconds = 0.0;
};

/// Plain SQLite rows: an integer key and three integers, in transactions of 10,000.
[[nodiscard]] Kept keep_as_rows(const std::filesystem::path& file, std::span<const Values> log);
/// First differences in zigzag, their low and high bytes apart, an hour to a block, zstd of that level. No index.
[[nodiscard]] Kept keep_as_deltas(const std::filesystem::path& file, std::span<const Values> log, int level);

/// Lowest, highest and mean of each quantity in 1000 spans of the rows, and all rows of one day: seconds.
[[nodiscard]] double chart_of_rows(const std::filesystem::path& file, std::int64_t from, std::int64_t to);
[[nodiscard]] double day_of_rows(const std::filesystem::path& file, std::int64_t from);

/// Records one after the other as rows (WAL, synchronous FULL), committed every `interval` readings.
void record_rows(const std::filesystem::path& file, std::span<const Values> log, std::size_t interval);

}  // namespace amphora::bench
