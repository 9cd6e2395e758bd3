// Minutes, hours and local days in the record: kept up to date as blocks are added, or made again from the readings.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "core/ledger/rollup.hpp"
#include "io/record/database.hpp"
#include "io/record/local_days.hpp"

namespace amphora::record {

/// Takes readings in order of time, after all that are rolled up already, and adds them to the stored rollups.
/// Use inside a transaction; `finish` writes what is left.
class RollupWriter {
public:
    RollupWriter(Database& database, const LocalDays& days);
    /// Minutes before `from_us` are stored already: what is pushed of them is only for going on from there.
    RollupWriter(Database& database, const LocalDays& days, std::int64_t from_us)
        : database_(database), days_(days), from_us_(from_us) {}
    void push(const Reading& reading) {
        rollups_.push(reading);
        if (rollups_.minutes().size() >= most_pending) flush();
    }
    void finish();

private:
    static constexpr std::size_t most_pending = 3 * 1440;
    void flush();

    Database& database_;
    const LocalDays& days_;
    std::int64_t from_us_;
    ledger::MinuteRollups rollups_;
};

/// Makes the rollups from `from_us` on again from the readings in the blocks. Use inside a transaction.
void rebuild_rollups(Database& database, const LocalDays& days, std::int64_t from_us);

/// Rolls up readings, in order of time, that were just put into blocks. Where they lie before others that are rolled up
/// already, the rollups are marked stale from there on. Use inside a transaction.
void roll_up_new(Database& database, const LocalDays& days, std::span<const Reading> readings);

/// Remembers that the rollups from `from_us` on have to be made again; and whether any have.
void mark_rollups_stale(Database& database, std::int64_t from_us);
[[nodiscard]] bool rollups_stale(const Database& database);

/// Makes again what is stale or missing. Where the zone is another one the days are begun anew (day_rollups.hpp). A
/// transaction of its own.
void settle_stale_rollups(Database& database, const LocalDays& days);

/// The same, and all days of the zone. Several transactions.
void settle_rollups(Database& database, const LocalDays& days);

/// Adds days to the stored ones; those before days_stored_from() are passed over. Use inside a transaction.
void store_days(Database& database, std::vector<ledger::Rollup> days);

/// Spans of `unit_us` (ledger::minute_us, hour_us or day_us for local days) that start in [from, to); days that are not
/// stored are made. Throws on damage.
[[nodiscard]] std::vector<ledger::Rollup> stored_rollups(const Database& database, std::int64_t unit_us,
                                                         std::int64_t from_us, std::int64_t to_us);

/// What the newest rollup must know of the past to go on.
[[nodiscard]] ledger::MinuteRollups::Memory rollup_memory(const Database& database);

}  // namespace amphora::record
