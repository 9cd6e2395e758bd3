// The blocks of a record: which readings lie where.
#pragma once

#include <cmath>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/ledger/block.hpp"
#include "io/record/database.hpp"

namespace amphora::record {

constexpr std::int64_t imported = 0;  // in place of a boot: the readings came from a file

struct BlockRow {
    std::int64_t id = 0;
    std::int64_t boot = imported;
    std::int64_t first_us = 0;
    std::int64_t last_us = 0;
    std::int64_t shift_us = 0;
    std::int64_t readings = 0;
};

/// The reading as it is kept: a minus before a zero says nothing that a meter knows, and what is not finite was not
/// measured. So that what is exported and imported again is the same to the bit.
[[nodiscard]] inline Reading as_kept(const Reading& r) {
    const auto kept = [](auto quantity) {
        using Quantity = decltype(quantity);
        return std::isfinite(quantity.value()) ? quantity + Quantity(0.0) : Quantity::missing();
    };
    return {r.at, kept(r.current), kept(r.voltage), kept(r.temperature)};
}

/// Blocks that touch [from, to], ordered by first reading.
[[nodiscard]] std::vector<BlockRow> blocks_between(const Database& database, std::int64_t from_us, std::int64_t to_us);

/// The first reading in any block; nothing when there is no block. And what comes just after the last.
[[nodiscard]] std::optional<std::int64_t> blocks_begin(const Database& database);
[[nodiscard]] std::int64_t blocks_end(const Database& database);

/// The latest block that lies wholly before `us`.
[[nodiscard]] std::optional<BlockRow> block_before(const Database& database, std::int64_t us);

/// The block of a boot that was written last; nothing for imported ones.
[[nodiscard]] std::optional<BlockRow> newest_block(const Database& database, std::int64_t boot);

/// A block's readings, shifted to where they belong. Throws DatabaseFailure naming the block when it is damaged.
void load_block(const Database& database, const BlockRow& row, ledger::Columns& columns);
[[nodiscard]] std::vector<Reading> load_readings(const Database& database, const BlockRow& row);

/// Writes the readings (in order of time, at most a block) as a new block, or in place of block `instead_of`.
void store_block(Database& database, std::int64_t boot, std::span<const Reading> readings, std::int64_t instead_of = 0);
void erase_block(Database& database, std::int64_t id);

/// Facts about the record kept in the table note.
[[nodiscard]] std::optional<std::int64_t> note(const Database& database, std::string_view name);
void set_note(Database& database, std::string_view name, std::int64_t value);
[[nodiscard]] std::string text_note(const Database& database, std::string_view name);
void set_text_note(Database& database, std::string_view name, std::string_view value);

}  // namespace amphora::record
