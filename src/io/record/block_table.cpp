#include "io/record/block_table.hpp"

#include <fmt/core.h>

#include "io/record/local_days.hpp"
#include "io/text/figure.hpp"

namespace amphora::record {
namespace {

constexpr std::string_view columns_of_row = "id, ifnull(boot, 0), first_us, last_us, shift_us, readings";

BlockRow row_of(const Statement& s) {
    return {s.integer(0), s.integer(1), s.integer(2), s.integer(3), s.integer(4), s.integer(5)};
}

[[noreturn]] void damaged(const Database& database, const BlockRow& row, const char* why) {
    throw DatabaseFailure{
        {Fault::damaged,
         fmt::format("{}: block {} ({} to {}, {}): {}; \"amphora salvage\" saves the rest", database.file().string(),
                     row.id, LocalDays::utc().time(row.first_us), LocalDays::utc().time(row.last_us),
                     text::plain_count_of(static_cast<std::uint64_t>(row.readings), "reading"), why)}};
}

}  // namespace

std::vector<BlockRow> blocks_between(const Database& database, std::int64_t from_us, std::int64_t to_us) {
    // No block is longer than the longest; so the index on first_us also finds those that began before `from`.
    const std::int64_t longest = note(database, "longest_block_us").value_or(0);
    const std::int64_t earliest = from_us < INT64_MIN + longest ? INT64_MIN : from_us - longest;
    Statement s =
        database.prepare(fmt::format("SELECT {} FROM block WHERE first_us BETWEEN ?1 AND ?2 AND last_us >= ?3 "
                                     "ORDER BY first_us, id",
                                     columns_of_row));
    s.bind(earliest, to_us, from_us);
    std::vector<BlockRow> rows;
    while (s.step()) rows.push_back(row_of(s));
    return rows;
}

std::optional<std::int64_t> blocks_begin(const Database& database) {
    Statement s = database.prepare("SELECT min(first_us) FROM block");
    return s.step() && !s.is_null(0) ? std::optional(s.integer(0)) : std::nullopt;
}

std::int64_t blocks_end(const Database& database) {
    // The last reading of all lies in one of the blocks that begin no earlier than the longest block before the last
    // one.
    Statement s =
        database.prepare("SELECT max(last_us) FROM block WHERE first_us >= (SELECT max(first_us) FROM block) - ?1");
    s.bind(note(database, "longest_block_us").value_or(0));
    return s.step() && !s.is_null(0) ? s.integer(0) + 1 : 0;
}

std::optional<BlockRow> block_before(const Database& database, std::int64_t us) {
    Statement s = database.prepare(fmt::format(
        "SELECT {} FROM block WHERE first_us < ?1 AND last_us < ?1 ORDER BY first_us DESC LIMIT 1", columns_of_row));
    s.bind(us);
    return s.step() ? std::optional(row_of(s)) : std::nullopt;
}

std::optional<BlockRow> newest_block(const Database& database, std::int64_t boot) {
    Statement s =
        database.prepare(fmt::format("SELECT {} FROM block WHERE boot = ?1 ORDER BY id DESC LIMIT 1", columns_of_row));
    s.bind(boot);
    return s.step() ? std::optional(row_of(s)) : std::nullopt;
}

void load_block(const Database& database, const BlockRow& row, ledger::Columns& columns) {
    Statement s = database.prepare("SELECT data FROM block WHERE id = ?1");
    s.bind(row.id);
    if (!s.step()) damaged(database, row, "it is gone");
    const auto decoded = ledger::decode_block(s.blob(0), columns);
    if (!decoded) damaged(database, row, ledger::describe(decoded.error()));
    if (columns.size() != static_cast<std::size_t>(row.readings))
        damaged(database, row, "it holds another number of readings");
    if (row.shift_us == 0) return;
    for (std::int64_t& t : columns.time_us) t += row.shift_us;
}

std::vector<Reading> load_readings(const Database& database, const BlockRow& row) {
    ledger::Columns columns;
    load_block(database, row, columns);
    std::vector<Reading> readings(columns.size());
    for (std::size_t i = 0; i < readings.size(); ++i) readings[i] = columns.reading(i);
    return readings;
}

void store_block(Database& database, std::int64_t boot, std::span<const Reading> readings, std::int64_t instead_of) {
    const auto data = ledger::encode_block(readings);
    const std::int64_t first = readings.front().at.us;
    const std::int64_t last = readings.back().at.us;
    if (instead_of != 0) {
        Statement s = database.prepare(
            "UPDATE block SET boot = nullif(?1, 0), first_us = ?2, last_us = ?3, shift_us = 0, readings = ?4, data = "
            "?5 WHERE id = ?6");
        s.bind(boot, first, last, readings.size(), std::span<const std::uint8_t>(data), instead_of).run();
    } else {
        Statement s = database.prepare(
            "INSERT INTO block (boot, first_us, last_us, shift_us, readings, data) VALUES (nullif(?1, 0), ?2, ?3, 0, "
            "?4, ?5)");
        s.bind(boot, first, last, readings.size(), std::span<const std::uint8_t>(data)).run();
    }
    if (last - first > note(database, "longest_block_us").value_or(0))
        set_note(database, "longest_block_us", last - first);
}

void erase_block(Database& database, std::int64_t id) {
    database.prepare("DELETE FROM block WHERE id = ?1").bind(id).run();
}

std::optional<std::int64_t> note(const Database& database, std::string_view name) {
    Statement s = database.prepare("SELECT value FROM note WHERE name = ?1");
    s.bind(name);
    return s.step() ? std::optional(s.integer(0)) : std::nullopt;
}

void set_note(Database& database, std::string_view name, std::int64_t value) {
    database.prepare("INSERT OR REPLACE INTO note (name, value) VALUES (?1, ?2)").bind(name, value).run();
}

std::string text_note(const Database& database, std::string_view name) {
    Statement s = database.prepare("SELECT value FROM note WHERE name = ?1");
    s.bind(name);
    return s.step() ? s.text(0) : std::string();
}

void set_text_note(Database& database, std::string_view name, std::string_view value) {
    database.prepare("INSERT OR REPLACE INTO note (name, value) VALUES (?1, ?2)").bind(name, value).run();
}

}  // namespace amphora::record
