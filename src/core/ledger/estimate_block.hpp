// Estimates as bytes: moments, state of charge and its standard deviation in ten-thousandths, with a checksum.
#pragma once

#include <cstdint>
#include <expected>
#include <span>
#include <vector>

#include "core/ledger/block.hpp"

namespace amphora::ledger {

/// State of charge in ten-thousandths of the full-charge capacity; -1 where it was not known.
struct EstimateRow {
    std::int64_t at_us = 0;
    std::int64_t state_of_charge = -1;
    std::int64_t sd = -1;
    bool operator==(const EstimateRow&) const = default;
};

[[nodiscard]] std::vector<std::uint8_t> encode_estimates(std::span<const EstimateRow> rows);
[[nodiscard]] std::expected<std::vector<EstimateRow>, BlockFault> decode_estimates(std::span<const std::uint8_t> bytes);

}  // namespace amphora::ledger
