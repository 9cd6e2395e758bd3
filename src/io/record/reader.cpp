#include "io/record/reader.hpp"

#include <algorithm>

#include "io/record/block_table.hpp"
#include "io/record/day_rollups.hpp"
#include "io/record/record_file.hpp"
#include "io/record/rollup_store.hpp"
#include "io/record/snapshot.hpp"

namespace amphora::record {
namespace {

using ledger::Rollup;

ledger::Columns columns_of(std::vector<Reading> readings) {
    std::ranges::stable_sort(readings, {}, &Reading::at);
    ledger::Columns c;
    for (const Reading& r : readings) {
        c.time_us.push_back(r.at.us);
        c.current.push_back(r.current.value());
        c.voltage.push_back(r.voltage.value());
        c.temperature.push_back(r.temperature.value());
    }
    return c;
}

/// The longest unit of rollups of which two or more fit in a bucket; 0 when even minutes are too long.
std::int64_t unit_for(std::int64_t bucket_us) {
    for (const std::int64_t unit : {ledger::day_us, ledger::hour_us, ledger::minute_us})
        if (bucket_us >= 2 * unit) return unit;
    return 0;
}

}  // namespace

class Reader::Parts {
public:
    explicit Parts(const std::filesystem::path& file) : database_(open_to_read(file)), days_(days_of(database_)) {
        database_.execute("PRAGMA mmap_size = 1073741824");
        refresh();
    }

    void refresh() {
        std::vector<Reading> newest;
        for (const TailPage& page : begin_snapshot(database_))
            newest.insert(newest.end(), page.readings.begin(), page.readings.end());
        tail_ = columns_of(std::move(newest));
        days_ = days_of(database_);
        roll_up_tail();
    }

    [[nodiscard]] std::optional<Span> extent() const {
        std::optional<Span> whole;
        if (const auto begin = blocks_begin(database_)) whole = Span{*begin, blocks_end(database_)};
        if (tail_.size() == 0) return whole;
        const Span newest{tail_.time_us.front(), tail_.time_us.back() + 1};
        if (!whole) return newest;
        return Span{std::min(whole->from_us, newest.from_us), std::max(whole->to_us, newest.to_us)};
    }
    [[nodiscard]] std::uint64_t count() const {
        return static_cast<std::uint64_t>(database_.number("SELECT ifnull(sum(readings), 0) FROM block")) +
               tail_.size();
    }

    void visit(Span span, const Visit& each) const {
        if (span.to_us <= span.from_us) return;
        const auto rows = blocks_between(database_, span.from_us, span.to_us - 1);
        visit_in_order(database_, rows, tail_, span.from_us, span.to_us, each);
    }

    [[nodiscard]] std::vector<GuardAct> acts(Span span, std::size_t most) const {
        return acts_between(database_, span.from_us, span.to_us, most);
    }

    [[nodiscard]] std::vector<Rollup> rollups(std::int64_t unit_us, Span span) const {
        auto found = stored_rollups(database_, unit_us, span.from_us, span.to_us);
        auto newest =
            unit_us == ledger::day_us ? days_.roll_up(tail_minutes_) : ledger::roll_up(tail_minutes_, unit_us);
        std::erase_if(newest, [&](const Rollup& r) { return r.start_us < span.from_us || r.start_us >= span.to_us; });
        ledger::merge_spans(found, newest);
        return found;
    }

    [[nodiscard]] Chart chart(Span span, std::size_t buckets) const {
        const auto count = static_cast<std::int64_t>(std::max<std::size_t>(1, buckets));
        const std::int64_t unit = unit_for((span.to_us - span.from_us) / count);
        return unit == 0 ? chart_of_readings(span, count) : chart_of_rollups(span, count, unit);
    }

    [[nodiscard]] const LocalDays& days() const { return days_; }

private:
    void roll_up_tail() {
        ledger::MinuteRollups rollups(rollup_memory(database_));
        for (std::size_t i = 0; i < tail_.size(); ++i) rollups.push(tail_.reading(i));
        tail_minutes_ = rollups.take();
    }

    /// Where unit edges are, from the one at or before `from` to the first at or after `to`.
    [[nodiscard]] std::vector<std::int64_t> edges(Span span, std::int64_t unit) const {
        std::vector<std::int64_t> found;
        const bool by_days = unit == ledger::day_us;
        std::int64_t edge = by_days ? days_.day_start(span.from_us) : ledger::floor_to(span.from_us, unit);
        for (; edge < span.to_us; edge = by_days ? days_.day_start(edge, 1) : edge + unit) found.push_back(edge);
        found.push_back(edge);
        return found;
    }

    [[nodiscard]] Chart chart_of_rollups(Span span, std::int64_t count, std::int64_t unit) const {
        const auto all = edges(span, unit);
        const auto units = static_cast<std::int64_t>(all.size()) - 1;
        const auto spans = rollups(unit, {all.front(), all.back()});
        Chart chart{{}, all.back(), unit};
        auto next = spans.begin();
        for (std::int64_t b = 0; b < std::min(count, units); ++b) {
            const std::int64_t end = all[static_cast<std::size_t>((b + 1) * units / std::min(count, units))];
            Rollup& bucket = chart.buckets.emplace_back();
            bucket.start_us = all[static_cast<std::size_t>(b * units / std::min(count, units))];
            for (; next != spans.end() && next->start_us < end; ++next) bucket.merge(*next);
        }
        return chart;
    }

    [[nodiscard]] Chart chart_of_readings(Span span, std::int64_t count) const {
        Chart chart{std::vector<Rollup>(static_cast<std::size_t>(count)), span.to_us, 0};
        const auto edge = [&](std::int64_t b) { return span.from_us + (span.to_us - span.from_us) * b / count; };
        for (std::int64_t b = 0; b < count; ++b) chart.buckets[static_cast<std::size_t>(b)].start_us = edge(b);
        std::int64_t bucket = 0;
        visit(span, [&](const ledger::Columns& c, std::size_t i, std::size_t end) {
            for (; i < end; ++i) {
                while (c.time_us[i] >= edge(bucket + 1)) ++bucket;
                ledger::add_values(chart.buckets[static_cast<std::size_t>(bucket)], c.reading(i));
            }
        });
        return chart;
    }

    Database database_;
    LocalDays days_;
    ledger::Columns tail_;
    std::vector<Rollup> tail_minutes_;
};

Reader::Reader(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
Reader::~Reader() = default;
Reader::Reader(Reader&&) noexcept = default;
Reader& Reader::operator=(Reader&&) noexcept = default;

Result<Reader> Reader::open(const std::filesystem::path& file) {
    return guarded([&] { return Reader(std::make_unique<Parts>(file)); });
}
Result<void> Reader::refresh() {
    return guarded([&] { parts_->refresh(); });
}
std::optional<Span> Reader::extent() const { return parts_->extent(); }
std::uint64_t Reader::count() const { return parts_->count(); }
Result<void> Reader::visit(Span span, const Visit& visit) const {
    return guarded([&] { parts_->visit(span, visit); });
}
Result<std::vector<GuardAct>> Reader::acts(Span span, std::size_t most) const {
    return guarded([&] { return parts_->acts(span, most); });
}
Result<std::vector<Rollup>> Reader::rollups(std::int64_t unit_us, Span span) const {
    return guarded([&] { return parts_->rollups(unit_us, span); });
}
Result<Chart> Reader::chart(Span span, std::size_t buckets) const {
    return guarded([&] { return parts_->chart(span, buckets); });
}
const LocalDays& Reader::days() const { return parts_->days(); }

}  // namespace amphora::record
