#include "io/record/merger.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <optional>
#include <span>

#include "io/record/block_table.hpp"
#include "io/record/derive.hpp"
#include "io/record/record_file.hpp"
#include "io/record/rollup_store.hpp"
#include "io/record/tail_file.hpp"
#include "io/record/time_order.hpp"

namespace amphora::record {
namespace {

bool same_value(double a, double b) {
    return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b) || (std::isnan(a) && std::isnan(b));
}
bool same_values(const Reading& a, const Reading& b) {
    return same_value(a.current.value(), b.current.value()) && same_value(a.voltage.value(), b.voltage.value()) &&
           same_value(a.temperature.value(), b.temperature.value());
}

/// Walks through sorted readings and strikes out those that it is shown, which come sorted too.
class Sieve {
public:
    explicit Sieve(std::span<const Reading> readings)
        : readings_(readings), struck_(readings.size()), clashing_(readings.size()) {}

    void strike(const Reading& known) {
        while (at_ < readings_.size() && readings_[at_].at < known.at) ++at_;
        for (std::size_t i = at_; i < readings_.size() && readings_[i].at == known.at; ++i) {
            if (same_values(readings_[i], known))
                struck_[i] = true;
            else
                clashing_[i] = true;
        }
    }
    [[nodiscard]] std::vector<Reading> left() const {
        std::vector<Reading> kept;
        for (std::size_t i = 0; i < readings_.size(); ++i)
            if (!struck_[i]) kept.push_back(readings_[i]);
        return kept;
    }
    /// Of those left: how many have the time of one that was shown.
    [[nodiscard]] std::uint64_t clashes() const {
        std::uint64_t count = 0;
        for (std::size_t i = 0; i < readings_.size(); ++i) count += clashing_[i] && !struck_[i] ? 1 : 0;
        return count;
    }

private:
    std::span<const Reading> readings_;
    std::vector<bool> struck_;
    std::size_t at_ = 0;
    std::vector<bool> clashing_;
};

/// How many have the time of the one before.
std::uint64_t at_the_same_time(std::span<const Reading> readings) {
    std::uint64_t count = 0;
    for (std::size_t i = 1; i < readings.size(); ++i) count += readings[i].at == readings[i - 1].at ? 1 : 0;
    return count;
}

/// Blocks that follow one another without a gap between their spans.
struct Occupied {
    std::int64_t first_us;
    std::int64_t last_us;
    std::vector<BlockRow> rows;
};

std::vector<Occupied> occupied(const std::vector<BlockRow>& rows) {
    std::vector<Occupied> spans;
    for (const BlockRow& row : rows) {
        if (spans.empty() || spans.back().last_us < row.first_us) spans.push_back({row.first_us, row.last_us, {}});
        spans.back().last_us = std::max(spans.back().last_us, row.last_us);
        spans.back().rows.push_back(row);
    }
    return spans;
}

}  // namespace

class Merger::Parts {
public:
    Parts(std::filesystem::path file, const LocalDays& days, std::string vfs)
        : file_(std::move(file)), vfs_(std::move(vfs)), days_(days) {
        if (std::filesystem::exists(file_)) database();
    }
    Parts(const Parts&) = delete;
    Parts& operator=(const Parts&) = delete;

    /// A record that was only begun, and that no recorder has open by now, is taken away again.
    ~Parts() {
        if (!made_ || kept_ || std::filesystem::exists(tail_path(file_))) return;
        database_.reset();
        std::error_code none;
        for (const char* part : {"", "-wal", "-shm"}) std::filesystem::remove(file_.string() + part, none);
    }

    /// What is counted is what is in the record: a batch that fails is taken back, and so is its count.
    void add(std::vector<Reading> readings) {
        if (readings.empty()) return;
        const MergeCount before = count_;
        try {
            merge(database(), std::move(readings));
        } catch (...) {
            count_ = before;
            throw;
        }
    }

    void add_acts(const std::vector<GuardAct>& acts) {
        if (acts.empty()) return;
        Database& record = database();
        Transaction t(record);
        for (const GuardAct& act : acts)
            if (!is_known(record, act)) store_act(record, imported, act);
        t.commit();
        kept_ = true;
    }

    void finish() {
        if (database_) settle_rollups(*database_, days_);
    }

    [[nodiscard]] const MergeCount& count() const { return count_; }

private:
    /// The record, opened or made when it is wanted first.
    Database& database() {
        if (!database_) {
            made_ = made_ || !std::filesystem::exists(file_);
            database_.emplace(open_to_write(file_, vfs_));
            settle_rollups(*database_, days_);
        }
        return *database_;
    }

    void merge(Database& record, std::vector<Reading> readings) {
        for (Reading& r : readings) r = as_kept(r);
        if (!std::ranges::is_sorted(readings, {}, &Reading::at)) std::ranges::stable_sort(readings, {}, &Reading::at);
        const auto before = readings.size();
        drop_repeats(readings);
        count_.known += before - readings.size();

        const std::uint64_t added_before = count_.added;
        Transaction t(record);
        const auto rows = blocks_between(record, readings.front().at.us, readings.back().at.us);
        std::span<const Reading> left(readings);
        const auto take_before = [&](std::int64_t us) {
            const auto end = std::ranges::lower_bound(left, Instant{us}, {}, &Reading::at);
            const auto part = left.first(static_cast<std::size_t>(end - left.begin()));
            left = left.subspan(part.size());
            return part;
        };
        for (const Occupied& span : occupied(rows)) {
            fill_gap(take_before(span.first_us));
            merge_into(span, take_before(span.last_us + 1));
        }
        fill_gap(left);
        if (count_.added != added_before) forget_derived(record);
        t.commit();
        kept_ = true;
    }

    static void drop_repeats(std::vector<Reading>& readings) {
        const auto repeats = [](const Reading& a, const Reading& b) { return a.at == b.at && same_values(a, b); };
        readings.erase(std::unique(readings.begin(), readings.end(), repeats), readings.end());
    }

    /// Readings where there are none yet: they go on in the imported block before them, as far as there is room.
    void fill_gap(std::span<const Reading> readings) {
        if (readings.empty()) return;
        count_.added += readings.size();
        count_.clashes += at_the_same_time(readings);
        roll_up_new(*database_, days_, readings);
        const auto last = block_before(*database_, readings.front().at.us);
        if (last && last->boot == imported && static_cast<std::size_t>(last->readings) < ledger::block_capacity) {
            std::vector<Reading> joined = load_readings(*database_, *last);
            const std::size_t room = std::min(readings.size(), ledger::block_capacity - joined.size());
            joined.insert(joined.end(), readings.begin(), readings.begin() + static_cast<std::ptrdiff_t>(room));
            store_block(*database_, imported, joined, last->id);
            readings = readings.subspan(room);
        }
        store_in_pieces(readings);
    }

    void store_in_pieces(std::span<const Reading> readings) {
        for (; !readings.empty(); readings = readings.subspan(std::min(readings.size(), ledger::block_capacity)))
            store_block(*database_, imported, readings.first(std::min(readings.size(), ledger::block_capacity)));
    }

    void merge_into(const Occupied& span, std::span<const Reading> readings) {
        if (readings.empty()) return;
        Sieve sieve(readings);
        visit_in_order(*database_, span.rows, {}, readings.front().at.us, readings.back().at.us + 1,
                       [&](const ledger::Columns& c, std::size_t i, std::size_t end) {
                           for (; i < end; ++i) sieve.strike(c.reading(i));
                       });
        std::vector<Reading> fresh = sieve.left();
        count_.known += readings.size() - fresh.size();
        count_.added += fresh.size();
        count_.clashes += std::max(sieve.clashes(), at_the_same_time(fresh));
        if (fresh.empty()) return;
        mark_rollups_stale(*database_, fresh.front().at.us);
        for (const BlockRow& row : span.rows)
            if (row.boot == imported) merge_into_block(row, fresh);
        store_in_pieces(fresh);
    }

    /// Moves those of the sorted readings that lie within the block into it.
    void merge_into_block(const BlockRow& row, std::vector<Reading>& fresh) {
        const auto begin = std::ranges::lower_bound(fresh, Instant{row.first_us}, {}, &Reading::at);
        const auto end = std::ranges::upper_bound(fresh, Instant{row.last_us}, {}, &Reading::at);
        if (begin == end) return;
        const std::vector<Reading> old = load_readings(*database_, row);
        std::vector<Reading> both;
        std::merge(old.begin(), old.end(), begin, end, std::back_inserter(both),
                   [](const Reading& a, const Reading& b) { return a.at < b.at; });
        fresh.erase(begin, end);
        erase_block(*database_, row.id);
        store_in_pieces(both);
    }

    std::filesystem::path file_;
    std::string vfs_;
    std::optional<Database> database_;
    bool made_ = false;  // by us
    bool kept_ = false;  // something is in it
    LocalDays days_;
    MergeCount count_;
};

Merger::Merger(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
Merger::~Merger() = default;
Merger::Merger(Merger&&) noexcept = default;
Merger& Merger::operator=(Merger&&) noexcept = default;

Result<Merger> Merger::open(const std::filesystem::path& file, const LocalDays& days, const std::string& vfs) {
    return guarded([&] { return Merger(std::make_unique<Parts>(file, days, vfs)); });
}
Result<void> Merger::add(std::vector<Reading> readings) {
    return guarded([&] { parts_->add(std::move(readings)); });
}
Result<void> Merger::add_acts(const std::vector<GuardAct>& acts) {
    return guarded([&] { parts_->add_acts(acts); });
}
Result<void> Merger::finish() {
    return guarded([&] { parts_->finish(); });
}
const MergeCount& Merger::count() const { return parts_->count(); }

}  // namespace amphora::record
