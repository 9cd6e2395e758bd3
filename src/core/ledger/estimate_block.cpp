#include "core/ledger/estimate_block.hpp"

#include <algorithm>
#include <array>

#include "core/ledger/bytes.hpp"
#include "core/ledger/column.hpp"
#include "core/ledger/crc32c.hpp"
#include "core/ledger/time_column.hpp"

namespace amphora::ledger {
namespace {

constexpr std::uint8_t version = 1;
constexpr std::uint64_t most_rows = 1U << 20U;
constexpr std::array<std::int64_t EstimateRow::*, 2> figures{&EstimateRow::state_of_charge, &EstimateRow::sd};

}  // namespace

std::vector<std::uint8_t> encode_estimates(std::span<const EstimateRow> rows) {
    ByteWriter out;
    out.byte(version);
    out.number(rows.size());
    std::vector<std::int64_t> column(rows.size());
    std::ranges::transform(rows, column.begin(), &EstimateRow::at_us);
    encode_times(out, column);
    for (const auto figure : figures) {
        std::ranges::transform(rows, column.begin(), figure);
        encode_column(out, column);
    }
    out.fixed32(crc32c(out.bytes()));
    return std::move(out.bytes());
}

std::expected<std::vector<EstimateRow>, BlockFault> decode_estimates(std::span<const std::uint8_t> bytes) {
    if (bytes.size() < 6) return std::unexpected(BlockFault::too_short);
    const auto content = bytes.first(bytes.size() - 4);
    ByteReader checksum(bytes.last(4));
    if (checksum.fixed32() != crc32c(content)) return std::unexpected(BlockFault::checksum);
    ByteReader in(content);
    if (in.byte() != version) return std::unexpected(BlockFault::unknown_version);
    std::vector<EstimateRow> rows(in.number_up_to(most_rows));
    std::vector<std::int64_t> column(rows.size());
    bool sound = decode_times(in, column);
    for (std::size_t i = 0; i < rows.size(); ++i) rows[i].at_us = column[i];
    for (const auto figure : figures) {
        sound = sound && decode_column(in, column);
        for (std::size_t i = 0; sound && i < rows.size(); ++i) rows[i].*figure = column[i];
    }
    if (!sound || !in.ok() || in.left() != 0) return std::unexpected(BlockFault::malformed);
    return rows;
}

}  // namespace amphora::ledger
