#include <fmt/core.h>

#include <algorithm>

#include "io/record/block_table.hpp"
#include "io/record/day_rollups.hpp"
#include "io/record/derive.hpp"
#include "io/record/record_file.hpp"
#include "io/record/rollup_store.hpp"
#include "io/record/snapshot.hpp"
#include "io/record/upkeep.hpp"

namespace amphora::record {
namespace {

/// Takes a copy away again that did not become whole: half a backup is worse than none.
class Unfinished {
public:
    explicit Unfinished(std::filesystem::path file) : file_(std::move(file)) {}
    Unfinished(const Unfinished&) = delete;
    Unfinished& operator=(const Unfinished&) = delete;
    ~Unfinished() {
        std::error_code ignored;
        for (const char* part : {"", "-journal", "-wal", "-shm"})
            if (!whole_) std::filesystem::remove(file_.string() + part, ignored);
    }
    void is_whole() { whole_ = true; }

private:
    std::filesystem::path file_;
    bool whole_ = false;
};

void copy_pages(Database& from, Database& to) {
    sqlite3_backup* copying = sqlite3_backup_init(to.handle(), "main", from.handle(), "main");
    if (copying == nullptr)
        throw DatabaseFailure{error_of(sqlite3_errcode(to.handle()), "cannot begin the copy", to.file())};
    sqlite3_backup_step(copying, -1);
    const int code = sqlite3_backup_finish(copying);
    if (code != SQLITE_OK) throw DatabaseFailure{error_of(code, sqlite3_errstr(code), to.file())};
}

/// Makes blocks of the tail's pages, each of its own boot.
void fold_in(Database& database, const std::vector<TailPage>& tail) {
    if (tail.empty()) return;
    Transaction t(database);
    for (const TailPage& page : tail) {
        std::vector<Reading> readings = page.readings;
        std::ranges::stable_sort(readings, {}, &Reading::at);
        store_block(database, page.boot, readings);
        roll_up_new(database, days_of(database), readings);
    }
    set_sealed_count(database, tail.back().first + tail.back().readings.size());
    t.commit();
}

}  // namespace

Result<void> backup(const std::filesystem::path& file, const std::filesystem::path& copy) {
    return guarded([&] {
        if (std::filesystem::exists(copy))
            throw DatabaseFailure{
                {Fault::refused,
                 fmt::format("{}: exists already; name a new file, or move that one away", copy.string())}};
        Database from = open_to_read(file);
        const auto tail = begin_snapshot(from);
        Unfinished unfinished(copy);
        Database to(copy, Access::create);
        copy_pages(from, to);
        fold_in(to, tail);
        to.execute("PRAGMA journal_mode = DELETE");  // the copy is one file, also while it is read
        unfinished.is_whole();
    });
}

Result<void> compact(const std::filesystem::path& file) {
    return guarded([&] {
        Database database = open_existing_to_write(file);
        Transaction t(database);
        std::optional<BlockRow> small;
        for (const BlockRow& row : blocks_between(database, INT64_MIN, INT64_MAX)) {
            const bool joins = small && small->boot == row.boot && small->last_us <= row.first_us &&
                               static_cast<std::size_t>(small->readings + row.readings) <= ledger::block_capacity;
            if (!joins) {
                small = row;
                continue;
            }
            std::vector<Reading> readings = load_readings(database, *small);
            const auto more = load_readings(database, row);
            readings.insert(readings.end(), more.begin(), more.end());
            erase_block(database, row.id);
            store_block(database, small->boot, readings, small->id);
            small->last_us = row.last_us;
            small->readings += row.readings;
            small->shift_us = 0;
        }
        t.commit();
        database.execute("VACUUM; PRAGMA wal_checkpoint(TRUNCATE)");
    });
}

Result<void> begin_afresh(const std::filesystem::path& file, const LocalDays& days) {
    return guarded([&] {
        Database database = open_existing_to_write(file);
        Transaction t(database);
        rebuild_rollups(database, days, INT64_MIN);
        forget_derived(database);
        t.commit();
    });
}

}  // namespace amphora::record
