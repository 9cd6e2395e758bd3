#include "io/intake/series_join.hpp"

#include <utility>

namespace amphora::intake {
namespace {

constexpr std::int64_t pause_us = 10'000'000;
constexpr unsigned enough_changes = 16;

}  // namespace

void SeriesJoin::expect(std::size_t quantity, bool leads) {
    ++expected_;
    leads_[quantity] = leads;
    if (expected_ == 1) order_ = Order::by_time;  // nothing to put together
    if (expected_ == 2) order_ = Order::unknown;
}

void SeriesJoin::put(std::size_t quantity, double value, Instant at) {
    const SpooledValue spooled{at.us * SpooledValue::most_quantities + static_cast<std::int64_t>(quantity), value};
    if (order_ == Order::sorted) return sorted_.put(spooled);
    held_.push_back(spooled);
    if (order_ == Order::unknown) watch_order(spooled);
}

/// Sorting is right for every log; only where quantities clearly take turns in time can it be spared.
void SeriesJoin::watch_order(SpooledValue value) {
    if (before_ && before_->quantity() != value.quantity()) ++(value.us() >= before_->us() ? forward_ : backward_);
    before_ = value;
    if (forward_ >= enough_changes && forward_ >= 2 * backward_) order_ = Order::by_time;
    if (order_ == Order::unknown && held_.size() >= in_memory_) {
        order_ = Order::sorted;
        for (const SpooledValue& held : std::exchange(held_, {})) sorted_.put(held);
    }
}

void SeriesJoin::end() {
    if (std::exchange(ended_, true)) return;
    if (order_ == Order::unknown) {
        order_ = Order::sorted;
        for (const SpooledValue& held : std::exchange(held_, {})) sorted_.put(held);
    }
    if (order_ == Order::sorted) sorted_.end();
}

std::optional<SeriesJoin::Moment> SeriesJoin::next() {
    while (const auto value = pull())
        if (auto moment = take(*value)) return moment;
    return ended_ ? pending_moment() : std::nullopt;
}

std::optional<SpooledValue> SeriesJoin::pull() {
    if (order_ == Order::sorted) return ended_ ? sorted_.next() : std::nullopt;
    if (order_ == Order::unknown) return std::nullopt;
    if (at_ < held_.size()) return held_[at_++];
    held_.clear();
    at_ = 0;
    return std::nullopt;
}

/// The moment before this value's of which all is known now, if one was pending.
std::optional<SeriesJoin::Moment> SeriesJoin::take(SpooledValue value) {
    const Instant at{value.us()};
    auto moment = pending_ && pending_->us != at.us ? pending_moment() : std::nullopt;
    newest_[value.quantity()] = {value.value, at};
    if (leads_[value.quantity()] || !last_ || at.us < last_->us || at.us - last_->us >= pause_us) pending_ = at;
    return moment;
}

std::optional<SeriesJoin::Moment> SeriesJoin::pending_moment() {
    if (!pending_) return std::nullopt;
    Moment moment{*pending_, {}};
    for (std::size_t q = 0; q < most_quantities; ++q) {
        const auto& [value, seen] = newest_[q];
        const bool holds = moment.at.us >= seen.us && moment.at.us - seen.us <= hold_us_;
        moment.values[q] = holds ? value : std::numeric_limits<double>::quiet_NaN();
    }
    last_ = std::exchange(pending_, std::nullopt);
    return moment;
}

}  // namespace amphora::intake
