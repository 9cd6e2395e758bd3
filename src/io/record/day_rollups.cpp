#include "io/record/day_rollups.hpp"

#include <algorithm>
#include <limits>
#include <optional>
#include <utility>

#include "io/record/block_table.hpp"
#include "io/record/rollup_store.hpp"

namespace amphora::record {
namespace {

using Rollups = std::vector<ledger::Rollup>;

constexpr std::string_view from_note = "days_stored_from_us";
constexpr std::int64_t always = std::numeric_limits<std::int64_t>::min();
constexpr int days_a_step = 64;

/// Around all hours that are stored, with room for a day on either side.
std::optional<std::pair<std::int64_t, std::int64_t>> around_all(const Database& database) {
    Statement s = database.prepare("SELECT min(start_us), max(start_us) FROM rollup WHERE unit_us = ?1");
    s.bind(ledger::hour_us);
    if (!s.step() || s.is_null(0)) return std::nullopt;
    return std::pair(s.integer(0) - 2 * ledger::day_us, s.integer(1) + 34 * ledger::day_us);
}

}  // namespace

LocalDays days_of(const Database& database) {
    return LocalDays::in_zone(text_note(database, "zone")).value_or(LocalDays::utc());
}

void begin_days_of(Database& database, const LocalDays& days) {
    if (text_note(database, "zone") == days.zone()) return;
    database.prepare("DELETE FROM rollup WHERE unit_us = ?1").bind(ledger::day_us).run();
    const auto newest = rollup_memory(database).last;
    if (newest)
        set_note(database, from_note, days.day_start(newest->at.us, 1));
    else
        no_days_missing(database);
    set_text_note(database, "zone", days.zone());
}

std::int64_t days_stored_from(const Database& database) { return note(database, from_note).value_or(always); }

void no_days_missing(Database& database) { database.prepare("DELETE FROM note WHERE name = ?1").bind(from_note).run(); }

Rollups made_days(const Database& database, std::int64_t from_us, std::int64_t to_us) {
    const auto all = around_all(database);
    if (!all) return {};
    const LocalDays days = days_of(database);
    from_us = std::max(from_us, all->first);
    to_us = std::min(to_us, all->second);
    if (from_us >= to_us) return {};
    Rollups pieces;
    for (const auto& hour : stored_rollups(database, ledger::hour_us, ledger::floor_to(from_us, ledger::hour_us),
                                           days.day_start(to_us - 1, 1))) {
        const std::int64_t end = hour.start_us + ledger::hour_us;
        if (days.day_start(end - 1) <= hour.start_us) {
            pieces.push_back(hour);
            continue;
        }
        const auto minutes = stored_rollups(database, ledger::minute_us, hour.start_us, end);
        pieces.insert(pieces.end(), minutes.begin(), minutes.end());
    }
    Rollups made = days.roll_up(pieces);
    std::erase_if(made, [&](const ledger::Rollup& r) { return r.start_us < from_us || r.start_us >= to_us; });
    return made;
}

bool settle_some_days(Database& database) {
    Transaction t(database);
    const std::int64_t until = days_stored_from(database);
    if (until == always) return false;
    const auto all = around_all(database);
    const std::int64_t from = days_of(database).day_start(until - 1, 1 - days_a_step);
    const bool last = !all || from <= all->first;
    const Rollups made = made_days(database, last ? always : from, until);
    if (last)
        no_days_missing(database);
    else
        set_note(database, from_note, from);
    store_days(database, made);
    t.commit();
    return !last;
}

}  // namespace amphora::record
