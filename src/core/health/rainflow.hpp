// Cycles out of a wandering state of charge: rainflow counting, ASTM E1049-85 (2017), section 5.4.4, as readings come.
#pragma once

#include <cmath>
#include <cstddef>
#include <optional>
#include <vector>

#include "core/quantity/quantity.hpp"

namespace amphora {

/// One counted swing: how far, about which mean, and whether it was closed (1) or only one way (0.5).
template <class Q>
struct Swing {
    Q range{};
    Q mean{};
    double count = 0;
};

/// Counts swings of a quantity. Feed values in order; each swing goes to the sink `void(const Swing<Q>&)` as soon as it
/// is known. Memory is one value per nested swing still open (a few dozen for a year of use); constant time per value
/// on average.
template <class Q>
class Rainflow {
public:
    /// Reversals smaller than this are taken as noise and not as turning points; 0 counts every one.
    explicit Rainflow(Q smallest = Q(0)) : smallest_(smallest) {}

    /// Takes the next value. What is not finite is passed over.
    template <class Sink>
    void push(Q value, Sink&& sink) {
        if (!value.known()) return;
        if (!candidate_) {
            candidate_ = value;
            return;
        }
        const double step = (value - *candidate_).value();
        const bool onward = rising_ == (step > 0) || step == 0;
        if (open_.empty()) {
            // The first value is the first turning point as soon as the direction is known.
            if (std::abs(step) <= smallest_.value() && smallest_.value() > 0) return;
            if (step == 0) return;
            turn(*candidate_, sink);
            rising_ = step > 0;
            candidate_ = value;
        } else if (onward) {
            candidate_ = value;
        } else if (std::abs(step) >= smallest_.value()) {
            turn(*candidate_, sink);
            rising_ = !rising_;
            candidate_ = value;
        }
    }

    /// Reports what is still open as half swings, as at the end of a record. Does not end the count.
    template <class Sink>
    void report_open(Sink&& sink) const {
        Rainflow rest = *this;
        if (rest.candidate_ && !rest.open_.empty()) rest.turn(*rest.candidate_, sink);
        for (std::size_t i = 1; i < rest.open_.size(); ++i) sink(swing(rest.open_[i - 1], rest.open_[i], 0.5));
    }

private:
    static Swing<Q> swing(Q from, Q to, double count) {
        return {Q(std::abs((to - from).value())), (from + to) / 2, count};
    }

    /// A confirmed turning point: closes every swing that it covers.
    template <class Sink>
    void turn(Q point, Sink&& sink) {
        open_.push_back(point);
        while (open_.size() >= 3) {
            const std::size_t n = open_.size();
            const double latest = std::abs((open_[n - 1] - open_[n - 2]).value());
            const double before = std::abs((open_[n - 2] - open_[n - 3]).value());
            if (latest < before) return;
            if (n == 3) {  // it contains the start of the record: a half swing
                sink(swing(open_[0], open_[1], 0.5));
                open_.erase(open_.begin());
            } else {
                sink(swing(open_[n - 3], open_[n - 2], 1.0));
                open_.erase(open_.end() - 3, open_.end() - 1);
            }
        }
    }

    Q smallest_;
    std::vector<Q> open_;         // turning points of swings not yet closed, oldest first
    std::optional<Q> candidate_;  // the furthest value since the last turning point
    bool rising_ = false;
};

}  // namespace amphora
