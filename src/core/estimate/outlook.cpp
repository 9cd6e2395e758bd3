#include "core/estimate/outlook.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace amphora {
namespace {

constexpr double memory_days = 14.0;
constexpr double now_lasts_h = 2.0;  // what runs now goes on for about this long
constexpr int horizon_h = 240;
constexpr double least_seen_h = 1.0 / 6.0;
constexpr double kept_together_h = 3.0;  // departures from the usual day last about this long

double square(double x) { return x * x; }

int hour_of_day(std::int64_t us) {
    const std::int64_t hour = us / 3'600'000'000LL;
    return static_cast<int>(((hour % 24) + 24) % 24);
}

/// Finds when a growing need crosses a store, for the low, likely and high case at once.
struct Crossing {
    double store;
    double store_var;
    std::array<double, 3> at{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity(),
                             std::numeric_limits<double>::infinity()};
    std::array<double, 3> before;

    explicit Crossing(Uncertain<AmpHour> s) : store(s.mean.value()), store_var(square(s.sd.value())) {
        const double reach = band90 * s.sd.value();
        before = {store - reach, store, store + reach};
        for (std::size_t k = 0; k < 3; ++k)
            if (before[k] <= 0.0) at[k] = 0.0;
    }

    void step(double hours_before, double hours_after, double used, double used_var) {
        const double reach = band90 * std::sqrt(store_var + used_var);
        const std::array after{store - used - reach, store - used, store - used + reach};
        for (std::size_t k = 0; k < 3; ++k) {
            if (std::isinf(at[k]) && after[k] <= 0.0 && before[k] > 0.0)
                at[k] = hours_before + (hours_after - hours_before) * before[k] / (before[k] - after[k]);
            before[k] = after[k];
        }
    }

    [[nodiscard]] bool done() const { return !std::isinf(at[2]); }
    [[nodiscard]] TimeRange range() const {
        return {to_seconds(Hour(at[0])), to_seconds(Hour(at[1])), to_seconds(Hour(at[2]))};
    }
};

}  // namespace

void Outlook::learn(const Step& step, Instant end) {
    if (step.unknown_s > 0.0F || step.length_ms == 0) return;
    const double hours = step.hours();
    const double current = step.net_ah() / hours;
    const double share = recent_weight_ == 0.0 ? 1.0 : 1.0 - std::exp(-hours / 0.25);
    recent_spread_sq_ += (1.0 - std::exp(-hours)) * (square(current - recent_a_) - recent_spread_sq_);
    recent_a_ += share * (current - recent_a_);
    recent_weight_ += hours;

    const int now = hour_of_day(end.us - static_cast<std::int64_t>(step.length_ms) * 500);
    if (now != filling_) {
        if (filling_ >= 0 && filling_h_ > 0.3) {
            HourOfDay& h = hour_[static_cast<std::size_t>(filling_)];
            const double mean = filling_ah_ / filling_h_;
            h.weight = std::min(h.weight + 1.0, memory_days);
            const double departure = mean - h.mean_a;
            h.mean_a += departure / h.weight;
            if (h.weight > 1.0) h.spread_sq += (square(departure) - h.spread_sq) / h.weight;
        }
        filling_ = now;
        filling_ah_ = filling_h_ = 0.0;
    }
    filling_ah_ += step.net_ah();
    filling_h_ += hours;
}

Outlook::Answer Outlook::ahead(Instant now, Uncertain<AmpHour> spare, Uncertain<AmpHour> missing, Ampere offset) const {
    if (recent_weight_ < least_seen_h) return {};
    Crossing empty(spare);
    Crossing full(missing);
    const int first = hour_of_day(now.us);
    const double into = static_cast<double>(((now.us % 3'600'000'000LL) + 3'600'000'000LL) % 3'600'000'000LL) / 3.6e9;
    const HourOfDay& current_hour = hour_[static_cast<std::size_t>(first)];
    const double here = current_hour.weight > 0.0 ? recent_a_ - current_hour.mean_a : 0.0;
    double hours = 0.0;
    double moved = 0.0;
    double variance = 0.0;
    const double level_cap = missing.mean.value();
    for (int k = 0; k < horizon_h && !(empty.done() && full.done()); ++k) {
        const HourOfDay& h = hour_[static_cast<std::size_t>((first + k) % 24)];
        const double length = k == 0 ? 1.0 - into : 1.0;
        const double known = h.weight / (h.weight + 0.25);
        const double fade = std::exp(-(hours + 0.5 * length) / now_lasts_h);
        const double usual = h.mean_a + here * fade;
        const double current = known * usual + (1.0 - known) * recent_a_ - offset.value();
        const double spread = known * h.spread_sq * (1.0 - fade * fade) * (1.0 + 1.0 / std::max(h.weight, 1.0)) +
                              (1.0 - known) * (recent_spread_sq_ / (12.0 * kept_together_h) + square(0.1 * recent_a_));
        const double before = hours;
        hours += length;
        moved = std::min(moved + current * length, level_cap);
        variance += spread * length * length * (k < 1 ? 1.0 : 2.0 * kept_together_h);
        empty.step(before, hours, -moved, variance);
        full.step(before, hours, moved, variance);
    }
    return {empty.range(), full.range()};
}

}  // namespace amphora
