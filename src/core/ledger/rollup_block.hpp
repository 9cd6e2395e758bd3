// Rollups as bytes: one column for each figure, packed like the columns of readings, with a checksum.
#pragma once

#include <cstdint>
#include <expected>
#include <span>
#include <vector>

#include "core/ledger/block.hpp"
#include "core/ledger/rollup.hpp"

namespace amphora::ledger {

[[nodiscard]] std::vector<std::uint8_t> encode_rollups(std::span<const Rollup> rollups);

/// The rollups, or what is wrong with the bytes. Safe on any bytes.
[[nodiscard]] std::expected<std::vector<Rollup>, BlockFault> decode_rollups(std::span<const std::uint8_t> bytes);

}  // namespace amphora::ledger
