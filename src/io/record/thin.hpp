// Thinning: the only thing that takes readings out of a record, and only when it is asked to.
#pragma once

#include <cstdint>
#include <filesystem>

#include "io/record/local_days.hpp"
#include "io/record/record_error.hpp"

namespace amphora::record {

struct Thinning {
    std::int64_t before_us = 0;  // blocks that end before this moment are thinned
    std::int64_t every_us = 0;   // one reading, the mean, is kept for each span of this length
};

/// What it costs and what it gives.
struct ThinningCost {
    std::uint64_t readings = 0;       // that there are now in the blocks concerned
    std::uint64_t readings_left = 0;  // that there will be
    std::uint64_t bytes = 0;
    std::uint64_t bytes_left = 0;
};

/// What thinning would do. Changes nothing.
[[nodiscard]] Result<ThinningCost> thinning_cost(const std::filesystem::path& file, const Thinning& thinning);

/// Thins, makes the rollups again, and gives the space back. What was taken out is gone for good.
[[nodiscard]] Result<ThinningCost> thin(const std::filesystem::path& file, const Thinning& thinning,
                                        const LocalDays& days);

}  // namespace amphora::record
