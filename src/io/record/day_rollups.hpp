// Local days of another zone. When the zone changes, the days in the record are dropped and made again a few months at
// a time, the newest first; until then those that are missing are made from hours and minutes whenever someone asks.
// So nobody waits for years of them, every answer is right meanwhile, and a kill costs one step.
#pragma once

#include <cstdint>
#include <vector>

#include "core/ledger/rollup.hpp"
#include "io/record/database.hpp"
#include "io/record/local_days.hpp"

namespace amphora::record {

/// The zone whose midnights the days of the record have.
[[nodiscard]] LocalDays days_of(const Database& database);

/// Says that the days are those of this zone, and drops them if they were another's. Use inside a transaction.
void begin_days_of(Database& database, const LocalDays& days);

/// Days that start before this are not stored; usually the beginning of time.
[[nodiscard]] std::int64_t days_stored_from(const Database& database);

/// Says that none is missing, as when there are none.
void no_days_missing(Database& database);

/// The days of the record's zone that start in [from, to), made from hours, and from minutes where midnight lies within
/// an hour. Throws on damage.
[[nodiscard]] std::vector<ledger::Rollup> made_days(const Database& database, std::int64_t from_us, std::int64_t to_us);

/// Stores the newest 64 of the days that are missing. A transaction of its own. True while there are more.
bool settle_some_days(Database& database);

}  // namespace amphora::record
