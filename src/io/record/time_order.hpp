// The readings of a record in the order of time, from whatever blocks they lie in. Where blocks overlap (an imported
// log beside a recorder's own) they are merged on the way. Memory: one decoded block for each that overlaps.
#pragma once

#include <algorithm>
#include <functional>
#include <span>

#include "core/ledger/block.hpp"
#include "io/record/block_table.hpp"

namespace amphora::record {

/// Called with runs of readings in order of time: those of `columns` from `begin` to before `end`.
using Visit = std::function<void(const ledger::Columns& columns, std::size_t begin, std::size_t end)>;

/// Visits all readings of the blocks in `rows` (ordered by first reading) and of `tail` (ordered) with from <= time <
/// to. Throws DatabaseFailure at a damaged block.
void visit_in_order(const Database& database, std::span<const BlockRow> rows, const ledger::Columns& tail,
                    std::int64_t from_us, std::int64_t to_us, const Visit& visit);

}  // namespace amphora::record
