#include "io/record/rollup_store.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <limits>

#include "core/ledger/rollup_block.hpp"
#include "io/record/block_table.hpp"
#include "io/record/day_rollups.hpp"
#include "io/record/time_order.hpp"

namespace amphora::record {
namespace {

using ledger::Rollup;
using Rollups = std::vector<Rollup>;

constexpr std::string_view stale_note = "rollups_stale_from_us";
constexpr std::int64_t always = std::numeric_limits<std::int64_t>::min();

/// How long a stretch of rollups one row of the table holds.
std::int64_t row_span(std::int64_t unit_us) {
    if (unit_us == ledger::minute_us) return ledger::day_us;
    return unit_us == ledger::hour_us ? 32 * ledger::day_us : 512 * ledger::day_us;
}

Rollups load_row(const Database& database, std::int64_t unit_us, std::int64_t start_us) {
    Statement s = database.prepare("SELECT data FROM rollup WHERE unit_us = ?1 AND start_us = ?2");
    s.bind(unit_us, start_us);
    if (!s.step()) return {};
    auto rollups = ledger::decode_rollups(s.blob(0));
    if (rollups) return std::move(*rollups);
    throw DatabaseFailure{
        {Fault::damaged,
         fmt::format("{}: rollups of {}: {}; the readings are not touched by this: run \"amphora "
                     "rederive\" to make the rollups again",
                     database.file().string(), LocalDays::utc().date(start_us), ledger::describe(rollups.error()))}};
}

void store_row(Database& database, std::int64_t unit_us, std::int64_t start_us, const Rollups& rollups) {
    const auto data = ledger::encode_rollups(rollups);
    database.prepare("INSERT OR REPLACE INTO rollup (unit_us, start_us, data) VALUES (?1, ?2, ?3)")
        .bind(unit_us, start_us, std::span<const std::uint8_t>(data))
        .run();
}

void add(Database& database, std::int64_t unit_us, const Rollups& spans) {
    const std::int64_t row = row_span(unit_us);
    for (std::size_t i = 0; i < spans.size();) {
        const std::int64_t start = ledger::floor_to(spans[i].start_us, row);
        Rollups part;
        for (; i < spans.size() && ledger::floor_to(spans[i].start_us, row) == start; ++i) part.push_back(spans[i]);
        Rollups stored = load_row(database, unit_us, start);
        ledger::merge_spans(stored, part);
        store_row(database, unit_us, start, stored);
    }
}

/// Drops spans that start at or after `from_us`.
void cut(Database& database, std::int64_t unit_us, std::int64_t from_us) {
    const std::int64_t row = ledger::floor_to(from_us, row_span(unit_us));
    Rollups kept = load_row(database, unit_us, row);
    std::erase_if(kept, [&](const Rollup& r) { return r.start_us >= from_us; });
    database.prepare("DELETE FROM rollup WHERE unit_us = ?1 AND start_us >= ?2").bind(unit_us, row).run();
    if (!kept.empty()) store_row(database, unit_us, row, kept);
}

/// Drops minutes from `from_us` on, and the part that they have in hours and days.
void forget(Database& database, const LocalDays& days, std::int64_t from_us) {
    const std::int64_t day = days.day_start(from_us);
    const std::int64_t hour = ledger::floor_to(from_us, ledger::hour_us);
    Rollups kept = stored_rollups(database, ledger::minute_us, std::min(day, hour), from_us);
    cut(database, ledger::minute_us, from_us);
    cut(database, ledger::hour_us, hour);
    cut(database, ledger::day_us, day);
    const auto from = [&](std::int64_t us) {
        return Rollups(std::ranges::lower_bound(kept, us, {}, &Rollup::start_us), kept.end());
    };
    add(database, ledger::hour_us, ledger::roll_up(from(hour), ledger::hour_us));
    store_days(database, days.roll_up(from(day)));
}

}  // namespace

RollupWriter::RollupWriter(Database& database, const LocalDays& days)
    : database_(database), days_(days), from_us_(always), rollups_(rollup_memory(database)) {}

void RollupWriter::flush() {
    Rollups minutes = rollups_.take();
    std::erase_if(minutes, [&](const Rollup& r) { return r.start_us < from_us_; });
    add(database_, ledger::minute_us, minutes);
    add(database_, ledger::hour_us, ledger::roll_up(minutes, ledger::hour_us));
    store_days(database_, days_.roll_up(minutes));
}

void RollupWriter::finish() {
    flush();
    const auto& memory = rollups_.memory();
    if (!memory.last) return;
    const auto last = ledger::encode_block({&*memory.last, 1});
    database_.prepare("INSERT OR REPLACE INTO note (name, value) VALUES ('rolled_up_reading', ?1)")
        .bind(std::span<const std::uint8_t>(last))
        .run();
    set_note(database_, "rolled_up_step_us", memory.step_us);
}

ledger::MinuteRollups::Memory rollup_memory(const Database& database) {
    ledger::MinuteRollups::Memory memory;
    Statement s = database.prepare("SELECT value FROM note WHERE name = 'rolled_up_reading'");
    ledger::Columns columns;
    if (!s.step() || !ledger::decode_block(s.blob(0), columns) || columns.size() != 1) return memory;
    memory.last = columns.reading(0);
    memory.step_us = note(database, "rolled_up_step_us").value_or(memory.step_us);
    return memory;
}

void rebuild_rollups(Database& database, const LocalDays& days, std::int64_t from_us) {
    const auto before = block_before(database, from_us);
    const std::int64_t begin = before ? before->first_us : always;
    const auto rows = blocks_between(database, begin, INT64_MAX);
    std::int64_t minute = always;
    if (before) {
        // The reading before `from_us` held its current until the next one came: its minute has to be made again as
        // well.
        visit_in_order(database, rows, {}, begin, from_us, [&](const ledger::Columns& c, std::size_t, std::size_t end) {
            minute = ledger::floor_to(c.time_us[end - 1], ledger::minute_us);
        });
        forget(database, days, minute);
    } else {
        database.execute("DELETE FROM rollup");
        no_days_missing(database);
    }
    database.execute("DELETE FROM note WHERE name IN ('rolled_up_reading', 'rolled_up_step_us')");
    RollupWriter writer(database, days, minute);
    visit_in_order(database, rows, {}, begin, INT64_MAX, [&](const ledger::Columns& c, std::size_t i, std::size_t end) {
        for (; i < end; ++i) writer.push(c.reading(i));
    });
    writer.finish();
    set_text_note(database, "zone", days.zone());
}

void roll_up_new(Database& database, const LocalDays& days, std::span<const Reading> readings) {
    const auto memory = rollup_memory(database);
    if (rollups_stale(database) || (memory.last && readings.front().at < memory.last->at)) {
        mark_rollups_stale(database, readings.front().at.us);
        return;
    }
    RollupWriter rollups(database, days);
    for (const Reading& r : readings) rollups.push(r);
    rollups.finish();
}

void mark_rollups_stale(Database& database, std::int64_t from_us) {
    set_note(database, stale_note, std::min(from_us, note(database, stale_note).value_or(from_us)));
}

bool rollups_stale(const Database& database) { return note(database, stale_note).has_value(); }

void settle_stale_rollups(Database& database, const LocalDays& days) {
    Transaction t(database);
    begin_days_of(database, days);
    if (const auto from = note(database, stale_note))
        rebuild_rollups(database, days, *from);
    else if (!rollup_memory(database).last)
        rebuild_rollups(database, days, always);
    database.prepare("DELETE FROM note WHERE name = ?1").bind(stale_note).run();
    t.commit();
}

void settle_rollups(Database& database, const LocalDays& days) {
    settle_stale_rollups(database, days);
    while (settle_some_days(database)) {
    }
}

void store_days(Database& database, Rollups days) {
    const std::int64_t from = days_stored_from(database);
    std::erase_if(days, [&](const Rollup& r) { return r.start_us < from; });
    add(database, ledger::day_us, days);
}

Rollups stored_rollups(const Database& database, std::int64_t unit_us, std::int64_t from_us, std::int64_t to_us) {
    const std::int64_t first_row = from_us == always ? always : ledger::floor_to(from_us, row_span(unit_us));
    Statement s = database.prepare(
        "SELECT start_us FROM rollup WHERE unit_us = ?1 AND start_us >= ?2 AND start_us < ?3 ORDER BY start_us");
    s.bind(unit_us, first_row, to_us);
    Rollups found;
    if (unit_us == ledger::day_us)
        if (const std::int64_t stored = days_stored_from(database); from_us < stored)
            found = made_days(database, from_us, std::min(to_us, stored));
    while (s.step())
        for (const Rollup& r : load_row(database, unit_us, s.integer(0)))
            if (r.start_us >= from_us && r.start_us < to_us) found.push_back(r);
    return found;
}

}  // namespace amphora::record
