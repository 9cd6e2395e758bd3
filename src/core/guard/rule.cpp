#include "core/guard/rule.hpp"

#include <algorithm>
#include <cmath>

#include "core/guard/time_curve.hpp"

namespace amphora::guard {

namespace {

// A curve's time goes to infinity at its level; thirty years is as good, and fits.
std::int64_t to_us(Second time) { return std::llround(std::min(time.value(), 1e9) * 1e6); }
Second from_us(std::int64_t us) { return Second(static_cast<double>(us) / 1e6); }

}  // namespace

Rule::Rule(const described::Guard& settings)
    : below_(settings.trip_below.known()),
      trip_(below_ ? settings.trip_below : settings.trip_above),
      clear_(below_ ? settings.clear_above : settings.clear_below),
      latches_(settings.latches),
      trip_after_us_(to_us(settings.trip_after)),
      clear_after_us_(to_us(settings.clear_after)),
      curve_(settings.curve),
      multiplier_(settings.time_multiplier) {}

// Both the definite delay and the curve's share must be used up: the later of the two.
std::optional<std::int64_t> Rule::until_trip() const {
    const std::int64_t definite = std::max(trip_after_us_ - run_us_, std::int64_t{0});
    if (curve_ == TimeCurve::definite) return definite;
    const Second whole = time_to_trip(curve_, value_, trip_) * multiplier_;
    if (!whole.known()) return std::nullopt;
    return std::max(definite, to_us(whole * std::max(1.0 - spent_, 0.0)));
}

std::optional<Change> Rule::pass(Second time) {
    if (!known_) return std::nullopt;
    const std::int64_t us = to_us(time);
    if (phase_ == Phase::timing) {
        const auto left = until_trip();
        if (left && *left <= us) {
            phase_ = Phase::tripped;
            return Change{true, from_us(us - *left)};
        }
        run_us_ += us;
        if (curve_ != TimeCurve::definite) spent_ += time / (time_to_trip(curve_, value_, trip_) * multiplier_);
    } else if (phase_ == Phase::clearing) {
        const std::int64_t left = std::max(clear_after_us_ - run_us_, std::int64_t{0});
        if (left <= us) {
            phase_ = Phase::clear;
            return Change{false, from_us(us - left)};
        }
        run_us_ += us;
    }
    return std::nullopt;
}

void Rule::see(Level value) {
    // Infinity is a value (a time to empty that never comes); only not-a-number is unknown.
    known_ = !std::isnan(value.value());
    if (!known_) return;
    value_ = value;
    const auto begin = [this](Phase phase) {
        phase_ = phase;
        run_us_ = 0;
        spent_ = 0.0;
    };
    switch (phase_) {
        case Phase::clear:
            if (!passed()) break;
            begin(Phase::timing);
            worst_ = value;
            break;
        case Phase::timing:
            if (!passed()) phase_ = Phase::clear;
            break;
        case Phase::tripped:
            if (!latches_ && back()) begin(Phase::clearing);
            break;
        case Phase::clearing:
            if (!back()) phase_ = Phase::tripped;
            break;
    }
    if (phase_ != Phase::clear) worst_ = below_ ? std::min(worst_, value) : std::max(worst_, value);
}

void Rule::clear() { phase_ = Phase::clear; }

void Rule::restore(bool tripped, Level worst) {
    phase_ = tripped ? Phase::tripped : Phase::clear;
    worst_ = std::isnan(worst.value()) && tripped ? trip_ : worst;
}

}  // namespace amphora::guard
