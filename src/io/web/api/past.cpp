#include "io/web/api/past.hpp"

#include <algorithm>

namespace amphora::web {
namespace {

using record::Result;
using record::Span;

constexpr std::chrono::milliseconds look_again(1000);

std::int64_t start_of(const record::LocalDays& days, BarUnit unit, std::int64_t us) {
    switch (unit) {
        case BarUnit::hour:
            return ledger::floor_to(us, ledger::hour_us);
        case BarUnit::week:
            return days.week_start(us);
        case BarUnit::month:
            return days.month_start(us);
        case BarUnit::day:
            break;
    }
    return days.day_start(us);
}

// A month has no more than 31 days, and a week 7: the first instant of the next one.
std::int64_t next_start(const record::LocalDays& days, BarUnit unit, std::int64_t start_us) {
    switch (unit) {
        case BarUnit::hour:
            return start_us + ledger::hour_us;
        case BarUnit::week:
            return days.day_start(start_us, 7);
        case BarUnit::month:
            return days.month_start(days.day_start(start_us, 32));
        case BarUnit::day:
            break;
    }
    return days.day_start(start_us, 1);
}

}  // namespace

Result<void> Past::refresh() {
    const auto now = std::chrono::steady_clock::now();
    if (reader_ && now - looked_ < look_again) return {};
    looked_ = now;
    if (!reader_) {
        std::error_code none;
        if (!std::filesystem::exists(file_, none)) return {};
        auto reader = record::Reader::open(file_);
        if (!reader) return std::unexpected(reader.error());
        auto book = record::EstimateBook::open(file_, origin_, *reader);
        if (!book) return std::unexpected(book.error());
        reader_.emplace(std::move(*reader));
        book_.emplace(std::move(*book));
        return {};
    }
    if (auto refreshed = reader_->refresh(); !refreshed) return refreshed;
    return book_->follow(*reader_);
}

void Past::forget(std::optional<record::Origin> origin) {
    if (origin) origin_ = std::move(*origin);
    book_.reset();
    reader_.reset();
}

std::optional<Span> Past::extent() const { return reader_ ? reader_->extent() : std::nullopt; }

std::uint64_t Past::count() const { return reader_ ? reader_->count() : 0; }

Result<PastSpan> Past::span(Span asked, std::size_t points) const {
    PastSpan answer;
    if (!reader_) return answer;
    auto chart = reader_->chart(asked, points);
    if (!chart) return std::unexpected(chart.error());
    answer.readings = std::move(chart->buckets);
    for (const auto& bucket : answer.readings) answer.edges.push_back(bucket.start_us);
    answer.edges.push_back(chart->end_us);
    for (const auto view : {record::View::lived, record::View::hindsight}) {
        auto levels = book_->levels(view, answer.edges);
        if (!levels) return std::unexpected(levels.error());
        (view == record::View::lived ? answer.lived : answer.hindsight) = std::move(*levels);
    }
    return answer;
}

Result<std::vector<Bar>> Past::bars(Span asked, BarUnit unit) const {
    std::vector<Bar> bars;
    if (!reader_) return bars;
    const auto& days = reader_->days();
    const Span whole{start_of(days, unit, asked.from_us), asked.to_us};
    const auto pieces = reader_->rollups(unit == BarUnit::hour ? ledger::hour_us : ledger::day_us, whole);
    if (!pieces) return std::unexpected(pieces.error());
    std::vector<std::int64_t> edges;
    for (const auto& piece : *pieces) {
        const std::int64_t start = start_of(days, unit, piece.start_us);
        if (bars.empty() || bars.back().sum.start_us != start) {
            bars.emplace_back().sum.start_us = start;
            bars.back().end_us = next_start(days, unit, start);
        }
        bars.back().sum.merge(piece);
    }
    // Between two bars there may be a hole: it becomes a piece of its own, which is left out again.
    for (const Bar& bar : bars) {
        if (edges.empty() || edges.back() != bar.sum.start_us) edges.push_back(bar.sum.start_us);
        edges.push_back(bar.end_us);
    }
    const auto levels = book_->levels(record::View::hindsight, edges);
    if (!levels) return std::unexpected(levels.error());
    for (std::size_t i = 0, edge = 0; i < bars.size(); ++i, ++edge) {
        while (edges[edge] != bars[i].sum.start_us) ++edge;
        bars[i].hindsight = (*levels)[edge];
    }
    return bars;
}

Result<ledger::Rollup> Past::total(Span asked) const {
    ledger::Rollup sum;
    sum.start_us = asked.from_us;
    if (!reader_) return sum;
    const std::int64_t length = asked.to_us - asked.from_us;
    const std::int64_t unit = length <= 3 * ledger::day_us     ? ledger::minute_us
                              : length <= 120 * ledger::day_us ? ledger::hour_us
                                                               : ledger::day_us;
    const auto pieces = reader_->rollups(unit, asked);
    if (!pieces) return std::unexpected(pieces.error());
    for (const auto& piece : *pieces) sum.merge(piece);
    return sum;
}

}  // namespace amphora::web
