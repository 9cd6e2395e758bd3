#include "core/guard/rule.hpp"

#include <algorithm>
#include <cmath>

#include "core/guard/time_curve.hpp"

namespace amphora::guard {

Rule::Rule(const described::Guard& settings)
    : below_(settings.trip_below.known()),
      trip_(below_ ? settings.trip_below : settings.trip_above),
      clear_(below_ ? settings.clear_above : settings.clear_below),
      latches_(settings.latches),
      trip_after_(settings.trip_after),
      clear_after_(settings.clear_after),
      curve_(settings.curve),
      multiplier_(settings.time_multiplier) {}

// Both the definite delay and the curve's share must be used up: the later of the two.
std::optional<Second> Rule::until_trip() const {
    const Second definite = trip_after_ - run_;
    if (curve_ == TimeCurve::definite) return std::max(definite, Second(0.0));
    const Second whole = time_to_trip(curve_, value_, trip_) * multiplier_;
    if (!whole.known()) return std::nullopt;
    return std::max({definite, whole * (1.0 - spent_), Second(0.0)});
}

std::optional<Change> Rule::pass(Second time) {
    if (!known_) return std::nullopt;
    if (phase_ == Phase::timing) {
        const auto left = until_trip();
        if (left && *left <= time) {
            phase_ = Phase::tripped;
            return Change{true, time - *left};
        }
        run_ += time;
        if (curve_ != TimeCurve::definite) spent_ += time / (time_to_trip(curve_, value_, trip_) * multiplier_);
    } else if (phase_ == Phase::clearing) {
        const Second left = clear_after_ - run_;
        if (left <= time) {
            phase_ = Phase::clear;
            return Change{false, time - std::max(left, Second(0.0))};
        }
        run_ += time;
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
        run_ = Second(0.0);
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

void Rule::restore_tripped() {
    phase_ = Phase::tripped;
    worst_ = trip_;
}

}  // namespace amphora::guard
