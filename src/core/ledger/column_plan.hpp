// Chooses how a column is predicted, by trying candidates on a sample of it.
#pragma once

#include <cstdint>
#include <span>

#include "core/ledger/running_mean.hpp"

namespace amphora::ledger {

/// Frequencies are shares of two to this power: four smaller tables take no more cache than a large one.
constexpr unsigned table_bits_for(unsigned contexts) { return contexts == 1 ? 12 : 10; }

struct ColumnPlan {
    bool wide = false;      // spread too far for the mean: differences that wrap around, one context
    MeanSettings mean;      // used unless wide
    unsigned low_bits = 0;  // lowest bits of each residual that are noise and are written plainly
    [[nodiscard]] unsigned table_bits() const { return table_bits_for(mean.contexts); }
};

/// The plan whose estimated size is least. Values are relative to the first one, so `values[0]` counts as zero.
[[nodiscard]] ColumnPlan plan_column(std::span<const std::int64_t> values);

}  // namespace amphora::ledger
