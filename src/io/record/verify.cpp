#include <fmt/core.h>

#include <algorithm>
#include <map>
#include <optional>

#include "core/ledger/estimate_block.hpp"
#include "io/record/block_table.hpp"
#include "io/record/day_rollups.hpp"
#include "io/record/page_seal.hpp"
#include "io/record/record_file.hpp"
#include "io/record/rollup_store.hpp"
#include "io/record/snapshot.hpp"
#include "io/record/upkeep.hpp"
#include "io/record/write_ahead_log.hpp"
#include "io/source/bad_line.hpp"
#include "io/text/figure.hpp"

namespace amphora::record {
namespace {

using ledger::Rollup;

std::string span_text(std::int64_t from_us, std::int64_t to_us) {
    return LocalDays::utc().time(from_us) + " to " + LocalDays::utc().time(to_us);
}

std::string broken_page(std::uint64_t page) {
    return fmt::format("page {} of the file (bytes {} to {}): its checksum does not hold", page, (page - 1) * page_size,
                       page * page_size - 1);
}

/// The checksum of every page of the file, whatever it holds.
void check_pages(const Database& database, Verdict& verdict) {
    const BrokenSeals broken = broken_seals(database.file());
    for (const std::uint64_t page : broken.pages) verdict.damage.push_back({broken_page(page), {}, 0});
    for (const std::uint64_t page : broken.superseded)
        verdict.notes.push_back(broken_page(page) + "; the write-ahead log has a newer one, so nothing is lost");
}

/// The newest readings: those of a page that is not sound leave a hole before the next one.
void check_tail(const std::vector<TailPage>& tail, std::uint64_t sealed, Verdict& verdict) {
    for (const TailPage& page : tail) {
        if (page.first > sealed)
            verdict.damage.push_back({fmt::format("the tail: {} just before {} cannot be read",
                                                  text::plain_count_of(page.first - sealed, "reading"),
                                                  LocalDays::utc().time(page.readings.front().at.us)),
                                      {},
                                      page.first - sealed});
        sealed = page.first + page.readings.size();
        verdict.readings += page.readings.size();
    }
}

/// Damage in the tail's pages themselves, whether or not what they hold is in a block already.
void check_tail_pages(const std::filesystem::path& tail, Verdict& verdict) {
    for (const std::size_t place : flipped_tail_pages(tail))
        verdict.damage.push_back(
            {fmt::format("the tail: bytes {} to {} do not hold their checksum, one bit has flipped",
                         place * tail_page_size, (place + 1) * tail_page_size - 1),
             {},
             0});
}

/// What was derived carries checksums of its own.
void check_derived(const Database& database, Verdict& verdict) {
    Statement s = database.prepare("SELECT kind, start_us, data FROM derived");
    while (s.step())
        if (const auto rows = ledger::decode_estimates(s.blob(2)); !rows)
            verdict.damage.push_back(
                {fmt::format("estimates ({}) of {}: {}; \"amphora rederive\" makes them again", s.text(0),
                             LocalDays::utc().date(s.integer(1)), ledger::describe(rows.error())),
                 {},
                 0});
}

/// SQLite's own check of its pages and indexes.
void check_structure(const Database& database, Verdict& verdict) {
    Statement s = database.prepare("PRAGMA integrity_check(20)");
    while (s.step())
        if (s.text(0) != "ok")
            verdict.damage.push_back({"the file's structure: " + source::printable(s.text(0)), {}, 0});
}

/// What is wrong with a block, or nothing.
std::string fault_of(const Database& database, const BlockRow& row, ledger::Columns& columns) {
    Statement s = database.prepare("SELECT data FROM block WHERE id = ?1");
    s.bind(row.id);
    if (!s.step()) return "it is listed but not there";
    if (const auto decoded = ledger::decode_block(s.blob(0), columns); !decoded)
        return ledger::describe(decoded.error());
    if (columns.size() != static_cast<std::size_t>(row.readings))
        return "it holds another number of readings than listed";
    if (!std::ranges::is_sorted(columns.time_us)) return "its readings are not in order of time";
    if (columns.time_us.front() + row.shift_us != row.first_us || columns.time_us.back() + row.shift_us != row.last_us)
        return "its readings do not span the time listed";
    return {};
}

void check_blocks(const Database& database, Verdict& verdict, const Progress& progress) {
    const auto rows = blocks_between(database, INT64_MIN, INT64_MAX);
    ledger::Columns columns;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const BlockRow& row = rows[i];
        std::string fault;
        try {
            fault = fault_of(database, row, columns);
        } catch (const DatabaseFailure& failure) {
            fault = failure.error.message;
        }
        ++verdict.blocks;
        verdict.readings += static_cast<std::uint64_t>(row.readings);
        if (!fault.empty())
            verdict.damage.push_back(
                {fmt::format("block {}, {} ({}): {}", row.id, span_text(row.first_us, row.last_us),
                             text::plain_count_of(static_cast<std::uint64_t>(row.readings), "reading"), fault),
                 {row.first_us, row.last_us + 1},
                 static_cast<std::uint64_t>(row.readings)});
        if (progress && i % 64 == 0) progress(0.4 * static_cast<double>(i) / static_cast<double>(rows.size()));
    }
}

/// Compares rollups that were made from the readings with those that are stored, a UTC day at a time.
class RollupCheck {
public:
    RollupCheck(const Database& database, const LocalDays& days, Verdict& verdict)
        : database_(database), days_(days), verdict_(verdict) {}

    void push(const Reading& reading) {
        const std::int64_t day = ledger::floor_to(reading.at.us, ledger::day_us);
        if (day != day_ && !rollups_.minutes().empty()) {
            // The reading goes first: the one before it may hold into the new day.
            rollups_.push(reading);
            compare_before(day);
        } else {
            rollups_.push(reading);
        }
        day_ = day;
    }
    void finish() {
        compare_before(INT64_MAX);
        compare(ledger::hour_us, hours_);
        compare(ledger::day_us, local_days_);
    }

private:
    void compare_before(std::int64_t limit) {
        ledger::merge_spans(pending_, rollups_.take());
        const auto end = std::ranges::lower_bound(pending_, limit, {}, &Rollup::start_us);
        const std::vector<Rollup> ready(pending_.begin(), end);
        pending_.erase(pending_.begin(), end);
        if (ready.empty()) return;
        compare(ledger::minute_us, ready);
        ledger::merge_spans(hours_, ledger::roll_up(ready, ledger::hour_us));
        ledger::merge_spans(local_days_, days_.roll_up(ready));
        const std::int64_t safe = ready.front().start_us - 2 * ledger::day_us;
        const auto old = std::ranges::lower_bound(hours_, safe, {}, &Rollup::start_us);
        if (old - hours_.begin() < 2000) return;
        compare(ledger::hour_us, {hours_.begin(), old});
        hours_.erase(hours_.begin(), old);
    }

    void compare(std::int64_t unit_us, const std::vector<Rollup>& made) {
        if (made.empty()) return;
        const auto stored = stored_rollups(database_, unit_us, made.front().start_us, made.back().start_us + 1);
        if (stored == made) return;
        verdict_.damage.push_back(
            {fmt::format("rollups of {}: they are not those of the readings; \"amphora rederive\" makes them again",
                         span_text(made.front().start_us, made.back().start_us + unit_us)),
             {},
             0});
    }

    const Database& database_;
    const LocalDays& days_;
    Verdict& verdict_;
    ledger::MinuteRollups rollups_;
    std::vector<Rollup> pending_;
    std::vector<Rollup> hours_;
    std::vector<Rollup> local_days_;
    std::int64_t day_ = 0;
};

void check_rollups(const Database& database, Verdict& verdict, const Progress& progress) {
    const LocalDays days = days_of(database);
    RollupCheck check(database, days, verdict);
    std::uint64_t done = 0;
    const auto rows = blocks_between(database, INT64_MIN, INT64_MAX);
    visit_in_order(database, rows, {}, INT64_MIN, INT64_MAX,
                   [&](const ledger::Columns& c, std::size_t i, std::size_t end) {
                       done += end - i;
                       for (; i < end; ++i) check.push(c.reading(i));
                       if (progress)
                           progress(0.4 + 0.6 * static_cast<double>(done) / static_cast<double>(verdict.readings));
                   });
    check.finish();
    Statement s =
        database.prepare("SELECT count(*), min(start_us) FROM rollup WHERE start_us + 512 * 86400000000 < ?1");
    s.bind(blocks_begin(database).value_or(0));
    if (s.step() && s.integer(0) > 0)
        verdict.damage.push_back(
            {"there are rollups of a time without readings; \"amphora rederive\" clears them", {}, 0});
}

Verdict damaged_as_a_whole(const RecordError& error) {
    Verdict verdict;
    verdict.damage.push_back({error.message, {}, 0});
    return verdict;
}

/// What cannot be opened as a record is one all the same when most of its pages carry our checksums: a bit that flips
/// in the first page can make it anybody's.
std::optional<Verdict> hurt_beyond_opening(const std::filesystem::path& file, const RecordError& error) {
    if (!std::filesystem::is_regular_file(file)) return std::nullopt;
    const std::vector<std::uint64_t> broken = broken_seals(file).pages;
    if (broken.empty() || 2 * broken.size() * page_size > std::filesystem::file_size(file)) return std::nullopt;
    Verdict verdict;
    for (const std::uint64_t page : broken) verdict.damage.push_back({broken_page(page), {}, 0});
    verdict.damage.push_back({error.message, {}, 0});
    return verdict;
}

Verdict check_all(const std::filesystem::path& file, const Progress& progress) {
    Database database = open_to_read(file);
    const auto tail = begin_snapshot(database);
    Verdict verdict;
    try {
        check_pages(database, verdict);
        check_structure(database, verdict);
        check_blocks(database, verdict, progress);
        check_derived(database, verdict);
    } catch (const DatabaseFailure& failure) {
        verdict.damage.push_back({"the file's structure: " + failure.error.message, {}, 0});
    }
    if (verdict.sound() && !rollups_stale(database)) check_rollups(database, verdict, progress);
    check_tail(tail, sealed_count(database), verdict);
    check_tail_pages(tail_path(file), verdict);
    return verdict;
}

}  // namespace

Result<Verdict> verify(const std::filesystem::path& file, const Progress& progress) {
    // Before SQLite looks at it, and passes over what does not hold.
    const LogVerdict log = check_write_ahead_log(file);
    auto verdict = guarded([&] { return check_all(file, progress); });
    if (!verdict)
        if (auto hurt = hurt_beyond_opening(file, verdict.error())) verdict = std::move(*hurt);
    if (log.damage.empty() && log.note.empty()) return verdict;
    if (!verdict && !log.damage.empty() && verdict.error().fault != Fault::not_found)
        verdict = damaged_as_a_whole(verdict.error());
    if (!verdict) return verdict;
    if (!log.damage.empty()) verdict->damage.insert(verdict->damage.begin(), {log.damage, {}, 0});
    if (!log.note.empty()) verdict->notes.push_back(log.note);
    return verdict;
}

}  // namespace amphora::record
