#include "io/record/writer.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "io/record/block_table.hpp"
#include "io/record/day_rollups.hpp"
#include "io/record/derive.hpp"
#include "io/record/record_file.hpp"
#include "io/record/rollup_store.hpp"
#include "io/record/tail_file.hpp"

namespace amphora::record {
namespace {

constexpr std::size_t most_kept = 1'000'000;
constexpr double begin_after = 0.9;  // of the interval: the device takes its time too, a worn card more than a second

}  // namespace

/// The readings in memory (`pending_`) are, from the front: those in finished pages of the tail, those in the page that
/// is being rewritten (from `page_begin_`, the first `page_safe_` of them on the device), and those not yet written.
class Writer::Parts {
public:
    Parts(const std::filesystem::path& file, WriterOptions options)
        : options_(std::move(options)),
          lock_(tail_path(file)),
          database_(open_to_write(file, options_.vfs)),
          record_id_(record_id(database_)),
          tail_(tail_path(file), record_id_, options_.vfs),
          sealed_(sealed_count(database_)) {
        settle_stale_rollups(database_, options_.days);
        recover();
    }
    Parts(const Parts&) = delete;
    Parts& operator=(const Parts&) = delete;
    ~Parts() {
        if (open_) (void)guarded([&] { close(); });
    }

    BootPlace begin_boot(const std::string& boot_id, std::int64_t clock_us, bool synchronised) {
        seal();
        Statement known =
            database_.prepare("SELECT id, clock_us, synchronised FROM boot WHERE name = ?1 ORDER BY id DESC LIMIT 1");
        known.bind(std::string_view(boot_id));
        if (known.step()) {
            boot_ = known.integer(0);
            return {known.integer(1), known.integer(2) != 0};
        }
        database_.prepare("INSERT INTO boot (name, clock_us, synchronised) VALUES (?1, ?2, ?3)")
            .bind(boot_id, clock_us, synchronised)
            .run();
        boot_ = database_.last_row();
        return {clock_us, synchronised};
    }

    void place_boot(std::int64_t shift_us) {
        seal();
        Transaction t(database_);
        Statement span = database_.prepare("SELECT min(first_us) FROM block WHERE boot = ?1");
        span.bind(boot_);
        const bool has_blocks = span.step() && !span.is_null(0);
        const std::int64_t first = has_blocks ? span.integer(0) : 0;
        span.reset();
        database_.prepare("UPDATE boot SET clock_us = clock_us + ?1, synchronised = 1 WHERE id = ?2")
            .bind(shift_us, boot_)
            .run();
        move_acts(database_, boot_, shift_us);
        if (has_blocks && shift_us != 0) {
            database_
                .prepare(
                    "UPDATE block SET first_us = first_us + ?1, last_us = last_us + ?1, shift_us = shift_us + ?1 WHERE "
                    "boot = ?2")
                .bind(shift_us, boot_)
                .run();
            rebuild_rollups(database_, options_.days, std::min(first, first + shift_us));
            forget_derived(database_);
        }
        t.commit();
    }

    void append(const Reading& reading) {
        if (pending_.size() >= most_kept)
            throw DatabaseFailure{
                {Fault::full,
                 fmt::format("{}: a million readings wait for the device; this one is not taken; make room",
                             database_.file().string())}};
        pending_.push_back(as_kept(reading));
        ++taken_;
        if (pending_.size() % ledger::block_capacity == 0) seal();
        if (pending_.empty()) return;
        if (std::abs((reading.at - oldest_unsafe()).value()) >= begin_after * options_.durability.value()) commit();
    }

    void keep(const GuardAct& act) {
        Transaction t(database_);
        if (is_known(database_, act)) return;
        store_act(database_, act.of_this_boot ? boot_ : imported, act);
        t.commit();
    }

    void commit() {
        while (pages_begun_ < tail_pages && page_begin_ + page_safe_ < pending_.size()) {
            if (write_page(pending_.size() - page_begin_)) return;
            if (page_safe_ > 0) {
                finish_page();
                continue;
            }
            // More than a page came in one interval: take as many as fit.
            std::size_t count = (pending_.size() - page_begin_) / 2;
            while (!write_page(count)) count /= 2;
            finish_page();
        }
        if (page_begin_ + page_safe_ < pending_.size()) seal();
    }

    bool settle_some() { return settle_some_days(database_); }

    /// Makes blocks of all readings in memory. After that the pages of the tail are passed over.
    void seal() {
        if (pending_.empty()) return;
        // A copy: should the device fail now, what is in the tail must still match what is in memory.
        std::vector<Reading> ordered = pending_;
        std::ranges::stable_sort(ordered, {}, &Reading::at);
        Transaction t(database_);
        store(ordered);
        roll_up_new(database_, options_.days, ordered);
        set_sealed_count(database_, sealed_ + pending_.size());
        t.commit();
        sealed_ += pending_.size();
        pending_.clear();
        page_begin_ = page_safe_ = 0;
        begin_page(next_page_ + 1);
        pages_begun_ = 0;
        if (rollups_stale(database_)) settle_stale_rollups(database_, options_.days);
    }

    void close() {
        seal();
        open_ = false;
        std::error_code ignored;
        std::filesystem::remove(tail_path(database_.file()), ignored);
    }

    [[nodiscard]] std::uint64_t safe() const { return taken_ - (pending_.size() - page_begin_ - page_safe_); }

private:
    /// What a power cut left becomes a block, so that the tail begins afresh.
    void recover() {
        for (const TailPage& page : read_tail(tail_path(database_.file()), record_id_, sealed_)) {
            const bool follows = page.first == sealed_ + pending_.size();
            if (page.boot != boot_ || !follows) seal();
            if (!follows) pass_over_hole(page.first);
            boot_ = page.boot;
            next_page_ = std::max(next_page_, page.page + 1);
            pending_.insert(pending_.end(), page.readings.begin(), page.readings.end());
        }
        seal();
        begin_page(std::max(next_page_, highest_tail_page(tail_path(database_.file()), record_id_) + 1));
        pages_begun_ = 0;
        boot_ = imported;
    }

    /// Readings up to number `first` were lost to damage. Their numbers must not be given again, or else pages that
    /// are passed over already would count as new.
    void pass_over_hole(std::uint64_t first) {
        set_sealed_count(database_, first);
        sealed_ = first;
    }

    void store(std::span<const Reading> readings) {
        if (const auto last = block_to_extend(readings)) {
            std::vector<Reading> joined = load_readings(database_, *last);
            joined.insert(joined.end(), readings.begin(), readings.end());
            store_block(database_, boot_, joined, last->id);
            return;
        }
        for (std::size_t i = 0; i < readings.size(); i += ledger::block_capacity)
            store_block(database_, boot_, readings.subspan(i, std::min(readings.size() - i, ledger::block_capacity)));
    }

    /// The block of this boot that was written last, if these readings follow it and fit in as well.
    [[nodiscard]] std::optional<BlockRow> block_to_extend(std::span<const Reading> readings) const {
        const auto last = newest_block(database_, boot_);
        const bool fits = last && last->last_us <= readings.front().at.us &&
                          static_cast<std::size_t>(last->readings) + readings.size() <= ledger::block_capacity;
        return fits ? last : std::nullopt;
    }

    [[nodiscard]] Instant oldest_unsafe() const {
        return pending_[std::min(page_begin_ + page_safe_, pending_.size() - 1)].at;
    }

    /// Writes the first `count` readings of the page; false when they do not fit.
    bool write_page(std::size_t count) {
        TailPage page{next_page_, generation_ + 1, sealed_ + page_begin_, boot_, {}};
        const auto begin = pending_.begin() + static_cast<std::ptrdiff_t>(page_begin_);
        page.readings.assign(begin, begin + static_cast<std::ptrdiff_t>(count));
        if (!tail_.write(page)) return false;
        // Only now: a write that failed is tried again in the same place, never over the one that is safe.
        ++generation_;
        page_safe_ = count;
        return true;
    }
    void finish_page() {
        page_begin_ += page_safe_;
        page_safe_ = 0;
        begin_page(next_page_ + 1);
    }
    void begin_page(std::uint64_t number) {
        next_page_ = number;
        generation_ = 0;
        ++pages_begun_;
    }

    WriterOptions options_;
    WriterLock lock_;
    Database database_;
    std::uint64_t record_id_;
    TailFile tail_;
    std::uint64_t sealed_;
    std::int64_t boot_ = imported;
    std::vector<Reading> pending_;
    std::size_t page_begin_ = 0;
    std::size_t page_safe_ = 0;
    std::uint64_t next_page_ = 0;
    std::uint32_t generation_ = 0;
    std::size_t pages_begun_ = 0;
    std::uint64_t taken_ = 0;
    bool open_ = true;
};

Writer::Writer(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
Writer::~Writer() = default;
Writer::Writer(Writer&&) noexcept = default;
Writer& Writer::operator=(Writer&&) noexcept = default;

Result<Writer> Writer::open(const std::filesystem::path& file, WriterOptions options) {
    return guarded([&] { return Writer(std::make_unique<Parts>(file, std::move(options))); });
}
Result<BootPlace> Writer::begin_boot(const std::string& boot_id, std::int64_t clock_us, bool synchronised) {
    return guarded([&] { return parts_->begin_boot(boot_id, clock_us, synchronised); });
}
Result<void> Writer::place_boot(std::int64_t shift_us) {
    return guarded([&] { parts_->place_boot(shift_us); });
}
Result<void> Writer::append(const Reading& reading) {
    return guarded([&] { parts_->append(reading); });
}
Result<void> Writer::keep(const GuardAct& act) {
    return guarded([&] { parts_->keep(act); });
}
Result<bool> Writer::settle_some() {
    return guarded([&] { return parts_->settle_some(); });
}
Result<void> Writer::commit() {
    return guarded([&] { parts_->commit(); });
}
Result<void> Writer::close() {
    const auto closed = guarded([&] { parts_->close(); });
    if (closed) parts_.reset();
    return closed;
}
std::uint64_t Writer::safe() const { return parts_->safe(); }

}  // namespace amphora::record
