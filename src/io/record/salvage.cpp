#include <fmt/core.h>

#include <algorithm>
#include <map>
#include <optional>
#include <set>

#include "io/record/block_table.hpp"
#include "io/record/carve.hpp"
#include "io/record/merger.hpp"
#include "io/record/record_file.hpp"
#include "io/record/tail_file.hpp"
#include "io/record/upkeep.hpp"
#include "io/text/figure.hpp"

namespace amphora::record {
namespace {

constexpr std::size_t most_acts = 10'000'000;
constexpr std::int64_t longest_step_us = 60'000'000;  // between blocks; what is longer is a hole

std::vector<Reading> readings_of(const ledger::Columns& columns) {
    std::vector<Reading> readings(columns.size());
    for (std::size_t i = 0; i < readings.size(); ++i) readings[i] = columns.reading(i);
    return readings;
}

class Salvage {
public:
    Salvage(const std::filesystem::path& file, Merger& to, const Progress& progress)
        : file_(file), to_(to), progress_(progress) {}

    Rescue run() {
        // With SQLite's help as far as it goes: it also knows what lies in the write-ahead log.
        bool list_is_whole = false;
        try {
            from_tables();
            list_is_whole = true;
            save_acts();
        } catch (const DatabaseFailure&) {  // the rest is for the pages to tell
        }
        carve_blocks(file_, [&](std::int64_t id, const ledger::Columns& columns) {
            if (saved_.insert(id).second) save(readings_of(columns));
            listed_.erase(id);
        });
        Rescue rescue;
        for (const auto& [id, row] : listed_)
            rescue.lost.push_back(
                {fmt::format("block {}: {} to {}, {}", id, LocalDays::utc().time(row.first_us),
                             LocalDays::utc().time(row.last_us),
                             text::plain_count_of(static_cast<std::uint64_t>(row.readings), "reading")),
                 {row.first_us, row.last_us + 1},
                 static_cast<std::uint64_t>(row.readings)});
        if (!list_is_whole) add_gaps(rescue);
        finish();
        rescue.readings = to_.count().added;
        return rescue;
    }

private:
    void from_tables() {
        Database database(file_, Access::read);
        for (const TailPage& page : read_tail(tail_path(file_), record_id(database), sealed_count(database)))
            save(page.readings);
        Statement index = database.prepare(
            "SELECT id, first_us, last_us, readings FROM block INDEXED BY block_by_time ORDER BY first_us");
        while (index.step())
            listed_[index.integer(0)] = {index.integer(0), imported, index.integer(1),
                                         index.integer(2), 0,        index.integer(3)};
        const auto all = static_cast<double>(listed_.size());
        for (auto row = listed_.begin(); row != listed_.end();) {
            if (progress_) progress_(0.9 * static_cast<double>(saved_.size()) / all);
            row = save_block(database, row->second) ? listed_.erase(row) : std::next(row);
        }
    }

    /// A record of before there was such a table has none.
    void save_acts() {
        const Database database(file_, Access::read);
        if (database.number("SELECT count(*) FROM sqlite_schema WHERE name = 'guard_act'") == 0) return;
        const auto added = to_.add_acts(acts_between(database, INT64_MIN, INT64_MAX, most_acts));
        if (!added) throw DatabaseFailure{added.error()};
    }

    bool save_block(const Database& database, BlockRow row) {
        try {
            Statement s = database.prepare("SELECT shift_us FROM block WHERE id = ?1");
            s.bind(row.id);
            if (!s.step()) return false;
            row.shift_us = s.integer(0);
            save(load_readings(database, row));
        } catch (const DatabaseFailure&) {
            return false;
        }
        saved_.insert(row.id);
        return true;
    }

    void save(std::vector<Reading> readings) {
        for (std::size_t i = 0; i < readings.size(); i += ledger::block_capacity) {
            const std::size_t last = std::min(i + ledger::block_capacity, readings.size()) - 1;
            spans_.emplace_back(readings[i].at.us, readings[last].at.us);
        }
        if (const auto added = to_.add(std::move(readings)); !added) throw DatabaseFailure{added.error()};
    }
    /// Where the list of blocks cannot be read nobody knows what there was; but the holes between what was saved can
    /// be named.
    void add_gaps(Rescue& rescue) {
        std::ranges::sort(spans_);
        std::int64_t end = spans_.empty() ? 0 : spans_.front().first;
        for (const auto& [first, last] : spans_) {
            if (first - end > longest_step_us)
                rescue.lost.push_back({fmt::format("the list of blocks is damaged too; between {} and {} there may "
                                                   "have been readings",
                                                   LocalDays::utc().time(end), LocalDays::utc().time(first)),
                                       {end, first},
                                       0});
            end = std::max(end, last);
        }
        rescue.lost.push_back(
            {spans_.empty() ? "the list of blocks is damaged too, and no block could be found"
                            : fmt::format("the list of blocks is damaged too; before {} and after {} "
                                          "there may have been readings",
                                          LocalDays::utc().time(spans_.front().first), LocalDays::utc().time(end)),
             {},
             0});
    }
    void finish() {
        if (const auto finished = to_.finish(); !finished) throw DatabaseFailure{finished.error()};
    }

    const std::filesystem::path& file_;
    Merger& to_;
    const Progress& progress_;
    std::map<std::int64_t, BlockRow> listed_;  // and not yet saved
    std::set<std::int64_t> saved_;
    std::vector<std::pair<std::int64_t, std::int64_t>> spans_;  // first and last of what was saved
};

}  // namespace

Result<Rescue> salvage(const std::filesystem::path& file, const std::filesystem::path& to, const Progress& progress) {
    return guarded([&] {
        if (!std::filesystem::exists(file))
            throw DatabaseFailure{{Fault::not_found, fmt::format("{}: there is no such file", file.string())}};
        if (std::filesystem::exists(to))
            throw DatabaseFailure{{Fault::refused, fmt::format("{}: exists already; name a new file", to.string())}};
        std::optional<Merger> merger;
        if (auto opened = Merger::open(to, LocalDays::utc()))
            merger = std::move(*opened);
        else
            throw DatabaseFailure{opened.error()};
        return Salvage(file, *merger, progress).run();
    });
}

}  // namespace amphora::record
