#include "io/record/estimate_book.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "core/pipeline/pipeline.hpp"

namespace amphora::record {
namespace {

constexpr std::int64_t warm_up_us = 45 * ledger::day_us;       // before a pipeline is believed
constexpr std::int64_t known_better_us = 10 * ledger::day_us;  // by later readings, at most; see core/estimate/smoother
constexpr std::int64_t longest_underived_us = 400 * ledger::day_us;
constexpr std::int64_t piece_us = 30 * ledger::day_us;
constexpr std::int64_t look_back_every_us = 15 * ledger::minute_us;

/// A mean over estimates, and how far they reach.
class Gathered {
public:
    void add(double mean, double sd, double low, double high, double weight) {
        mean_ += mean * weight;
        sd_ += sd * weight;
        weight_ += weight;
        low_ = std::min(low_, low);
        high_ = std::max(high_, high);
    }
    [[nodiscard]] bool empty() const { return weight_ <= 0; }
    [[nodiscard]] Level level() const {
        if (empty()) return {};
        return {{Fraction(mean_ / weight_), Fraction(sd_ / weight_)}, Fraction(low_), Fraction(high_)};
    }
    [[nodiscard]] double weight() const { return weight_; }

private:
    double mean_ = 0, sd_ = 0, weight_ = 0, low_ = 2, high_ = -1;
};

void add(Gathered& sum, const Estimated& e) {
    if (!e.state_of_charge.mean.known() || !e.state_of_charge.sd.known()) return;
    const double mean = e.state_of_charge.mean.value();
    sum.add(mean, e.state_of_charge.sd.value(), mean, mean, 1);
}

struct Hour {
    std::int64_t start_us;
    float mean, sd, low, high, weight;
};

/// The hours of a long past: 32 bytes each, 2.8 MB for ten years.
class Hours {
public:
    /// In order of time.
    void add(const Estimated& e) {
        const std::int64_t start = ledger::floor_to(e.at.us, ledger::hour_us);
        if (start != start_us_) close();
        start_us_ = start;
        record::add(open_, e);
    }
    void close() {
        if (!open_.empty()) {
            const Level l = open_.level();
            const auto f = [](Fraction x) { return static_cast<float>(x.value()); };
            hours_.push_back({start_us_, f(l.state_of_charge.mean), f(l.state_of_charge.sd), f(l.lowest), f(l.highest),
                              static_cast<float>(open_.weight())});
        }
        open_ = {};
    }
    [[nodiscard]] auto from(std::int64_t us) const { return std::ranges::lower_bound(hours_, us, {}, &Hour::start_us); }
    [[nodiscard]] auto end() const { return hours_.end(); }

private:
    std::vector<Hour> hours_;
    std::int64_t start_us_ = 0;
    Gathered open_;
};

constexpr std::size_t of(View view) { return view == View::lived ? 0 : 1; }

}  // namespace

class EstimateBook::Parts {
public:
    Parts(std::filesystem::path file, Origin origin) : file_(std::move(file)), origin_(std::move(origin)) {}

    Result<void> begin(const Reader& reader) {
        const auto extent = reader.extent();
        const auto current = is_derived(file_, origin_);
        if (!current) return std::unexpected(current.error());
        pipeline_.emplace(origin_.system, PipelineOptions{.keep_for_hindsight = true});
        if (!extent) return {};
        begin_us_ = extent->from_us;
        derived_end_us_ = begin_us_;
        if (*current) {
            for (const View view : {View::lived, View::hindsight})
                if (auto read = read_hours(view, *extent); !read) return read;
        } else {
            derived_end_us_ = std::max(begin_us_, extent->to_us - longest_underived_us);
        }
        fed_until_us_ = std::max(begin_us_, derived_end_us_ - warm_up_us);
        return follow(reader);
    }

    Result<void> follow(const Reader& reader) {
        const auto extent = reader.extent();
        if (!extent || extent->to_us <= fed_until_us_) return {};
        const auto visited =
            reader.visit({fed_until_us_, extent->to_us}, [&](const ledger::Columns& c, std::size_t i, std::size_t end) {
                for (; i < end; ++i) feed(c.reading(i));
            });
        if (!visited) return visited;
        if (begin_us_ == 0) begin_us_ = extent->from_us;
        fed_until_us_ = extent->to_us;
        look_back();
        return {};
    }

    Result<std::vector<Level>> levels(View view, std::span<const std::int64_t> edges) const {
        std::vector<Level> found(edges.empty() ? 0 : edges.size() - 1);
        if (found.empty()) return found;
        const std::int64_t narrow = (edges.back() - edges.front()) / static_cast<std::int64_t>(found.size());
        std::vector<Gathered> sums(found.size());
        const std::int64_t recent_us = recent_from(view);
        if (narrow >= ledger::hour_us) {
            add_hours(view, edges, recent_us, sums);
        } else {
            const auto old = estimates(file_, view, {edges.front(), std::min(edges.back(), recent_us)});
            if (!old) return std::unexpected(old.error());
            add_minutes(*old, edges, sums);
        }
        const auto& recent = recent_.at(of(view));
        const auto first =
            std::ranges::lower_bound(recent, Instant{std::max(edges.front(), recent_us)}, {}, &Estimated::at);
        add_minutes(std::span(first, recent.end()), edges, sums);
        std::ranges::transform(sums, found.begin(), &Gathered::level);
        return found;
    }

    [[nodiscard]] std::optional<Estimate> newest() const {
        if (!pipeline_ || !any_) return std::nullopt;
        return pipeline_->now();
    }
    [[nodiscard]] std::optional<Instant> last_full() const { return full_; }
    [[nodiscard]] Second not_derived() const {
        return Instant{fed_until_us_} - Instant{std::min(fed_until_us_, derived_end_us_)};
    }

private:
    Result<void> read_hours(View view, Span extent) {
        Hours& hours = hours_.at(of(view));
        for (std::int64_t from = extent.from_us; from < extent.to_us; from += piece_us) {
            const auto piece = estimates(file_, view, {from, std::min(from + piece_us, extent.to_us)});
            if (!piece) return std::unexpected(piece.error());
            for (const Estimated& e : *piece) hours.add(e);
            if (!piece->empty()) derived_end_us_ = std::max(derived_end_us_, piece->back().at.us + 1);
        }
        hours.close();
        return {};
    }

    void feed(const Reading& reading) {
        any_ = true;
        if (!pipeline_->push(reading)) return;
        const Estimate now = pipeline_->now();
        if (now.evidence.kind == Evidence::full) full_ = now.evidence.at;
        if (now.at.us < derived_end_us_) return;
        recent_.at(0).push_back({now.at, now.state_of_charge});
    }

    // The whole of it is cheap for some weeks, but not for each reading: it is done again when something new is known.
    void look_back() {
        if (fed_until_us_ - looked_back_us_ < look_back_every_us && full_ == looked_back_at_full_) return;
        looked_back_us_ = fed_until_us_;
        looked_back_at_full_ = full_;
        auto& recent = recent_.at(1);
        recent.clear();
        for (const Hindsight& h : pipeline_->hindsight())
            if (h.at.us >= recent_from(View::hindsight)) recent.push_back({h.at, h.state_of_charge});
    }

    // From when on what the pipeline says holds, and not what is derived.
    [[nodiscard]] std::int64_t recent_from(View view) const {
        return view == View::lived ? derived_end_us_ : std::max(begin_us_, derived_end_us_ - known_better_us);
    }

    void add_hours(View view, std::span<const std::int64_t> edges, std::int64_t until_us,
                   std::vector<Gathered>& sums) const {
        const Hours& hours = hours_.at(of(view));
        std::size_t i = 0;
        for (auto hour = hours.from(edges.front()); hour != hours.end(); ++hour) {
            if (hour->start_us >= until_us) return;
            while (i < sums.size() && hour->start_us >= edges[i + 1]) ++i;
            if (i == sums.size()) return;
            sums[i].add(static_cast<double>(hour->mean), static_cast<double>(hour->sd), static_cast<double>(hour->low),
                        static_cast<double>(hour->high), static_cast<double>(hour->weight));
        }
    }

    static void add_minutes(std::span<const Estimated> minutes, std::span<const std::int64_t> edges,
                            std::vector<Gathered>& sums) {
        std::size_t i = 0;
        for (const Estimated& e : minutes) {
            while (i < sums.size() && e.at.us >= edges[i + 1]) ++i;
            if (i == sums.size()) return;
            add(sums[i], e);
        }
    }

    std::filesystem::path file_;
    Origin origin_;
    std::optional<Pipeline> pipeline_;
    std::array<Hours, 2> hours_;                    // lived, hindsight
    std::array<std::vector<Estimated>, 2> recent_;  // likewise, by the minute
    std::int64_t begin_us_ = 0, derived_end_us_ = 0, fed_until_us_ = 0;
    std::int64_t looked_back_us_ = 0;
    bool any_ = false;
    std::optional<Instant> full_, looked_back_at_full_;
};

EstimateBook::EstimateBook(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
EstimateBook::~EstimateBook() = default;
EstimateBook::EstimateBook(EstimateBook&&) noexcept = default;
EstimateBook& EstimateBook::operator=(EstimateBook&&) noexcept = default;

Result<EstimateBook> EstimateBook::open(const std::filesystem::path& file, Origin origin, const Reader& reader) {
    auto parts = std::make_unique<Parts>(file, std::move(origin));
    if (auto begun = parts->begin(reader); !begun) return std::unexpected(begun.error());
    return EstimateBook(std::move(parts));
}
Result<void> EstimateBook::follow(const Reader& reader) { return parts_->follow(reader); }
Result<std::vector<Level>> EstimateBook::levels(View view, std::span<const std::int64_t> edges) const {
    return parts_->levels(view, edges);
}
std::optional<Estimate> EstimateBook::newest() const { return parts_->newest(); }
std::optional<Instant> EstimateBook::last_full() const { return parts_->last_full(); }
Second EstimateBook::not_derived() const { return parts_->not_derived(); }

}  // namespace amphora::record
