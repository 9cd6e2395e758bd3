#include "io/record/schema.hpp"

#include <fmt/core.h>

#include <algorithm>

namespace amphora::record {
namespace {

// 1: the raw readings, which are the only truth.
constexpr std::string_view raw_readings = R"(
CREATE TABLE note (               -- a few facts about the record itself
    name  TEXT PRIMARY KEY,
    value ANY NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TABLE boot (               -- one start of the computer that measured
    id             INTEGER PRIMARY KEY,
    name           TEXT NOT NULL,     -- the kernel's boot id
    clock_us       INTEGER NOT NULL,  -- UTC less the boot-time clock, microseconds
    synchronised   INTEGER NOT NULL   -- 1 once the true time is known
) STRICT;
CREATE TABLE block (              -- readings; the layout of data is in docs/reference/record.md
    id        INTEGER PRIMARY KEY,
    boot      INTEGER REFERENCES boot(id),  -- NULL: imported
    first_us  INTEGER NOT NULL,   -- UTC of the first and last reading
    last_us   INTEGER NOT NULL,
    shift_us  INTEGER NOT NULL,   -- to be added to the times in data
    readings  INTEGER NOT NULL,
    data      BLOB NOT NULL
) STRICT;
CREATE INDEX block_by_time ON block(first_us, last_us, readings);
)";

// 2: minutes, hours and local days, with exact sums.
constexpr std::string_view rollups = R"(
CREATE TABLE rollup (
    unit_us   INTEGER NOT NULL,   -- 60000000: minutes, 3600000000: hours, 86400000000: local days
    start_us  INTEGER NOT NULL,
    data      BLOB NOT NULL,
    PRIMARY KEY (unit_us, start_us)
) STRICT;
)";

// 3: what was derived, and from which description by which code.
constexpr std::string_view derived = R"(
CREATE TABLE derived (
    kind      TEXT NOT NULL,
    start_us  INTEGER NOT NULL,
    data      BLOB NOT NULL,
    PRIMARY KEY (kind, start_us)
) STRICT;
CREATE TABLE derivation (
    kind         TEXT PRIMARY KEY,
    description  TEXT NOT NULL,      -- fingerprint of the description
    code         INTEGER NOT NULL,   -- version of the code
    until_us     INTEGER NOT NULL,   -- derived up to here
    complete     INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
)";

// 4: what the guards did.
constexpr std::string_view guard_acts = R"(
CREATE TABLE guard_act (
    id     INTEGER PRIMARY KEY,
    boot   INTEGER REFERENCES boot(id),
    at_us  INTEGER NOT NULL,   -- UTC
    kind   TEXT NOT NULL,      -- tripped, cleared, told; ordered, confirmed, refuses, blind, sees
    guard  TEXT,               -- its name; NULL where it is a relay's
    relay  TEXT,               -- likewise
    to_on  INTEGER,            -- relay: 1 on, 0 off
    value  REAL,               -- guard: what it saw, in the unit of what it watches
    worst  REAL                -- guard: the furthest beyond its level
) STRICT;
CREATE INDEX guard_act_by_time ON guard_act(at_us);
)";

std::size_t version_of(const Database& database) {
    return static_cast<std::size_t>(database.number("PRAGMA user_version"));
}

void refuse_strangers(const Database& database) {
    const std::int64_t id = database.number("PRAGMA application_id");
    const bool empty = database.number("SELECT count(*) FROM sqlite_schema") == 0;
    if (id == application_id || (id == 0 && empty)) return;
    throw DatabaseFailure{
        {Fault::not_a_record,
         fmt::format("{}: a SQLite database, but not a record of amphora; check the path", database.file().string())}};
}

void refuse_newer(const Database& database) {
    if (version_of(database) <= migrations().size()) return;
    throw DatabaseFailure{
        {Fault::newer, fmt::format("{}: written by a newer version of amphora (format {}, this one knows {}); "
                                   "update the program",
                                   database.file().string(), version_of(database), migrations().size())}};
}

}  // namespace

const std::vector<std::string_view>& migrations() {
    static const std::vector<std::string_view> steps{raw_readings, rollups, derived, guard_acts};
    return steps;
}

void migrate(Database& database, std::size_t up_to) {
    refuse_strangers(database);
    refuse_newer(database);
    for (std::size_t v = version_of(database); v < std::min(up_to, migrations().size()); ++v) {
        Transaction step(database);
        database.execute(std::string(migrations()[v]));
        database.execute(fmt::format("PRAGMA application_id = {}; PRAGMA user_version = {}", application_id, v + 1));
        step.commit();
    }
}

void require_current(const Database& database) {
    refuse_strangers(database);
    refuse_newer(database);
    if (version_of(database) == migrations().size()) return;
    throw DatabaseFailure{
        {Fault::refused, fmt::format("{}: written by an older version of amphora; run \"amphora rederive\" once, "
                                     "which brings it up to date",
                                     database.file().string())}};
}

}  // namespace amphora::record
