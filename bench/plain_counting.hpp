// What a simple meter does: count the charge from one half, and say 100 % whenever "full" is seen. The yardstick.
#pragma once

#include <algorithm>

#include "core/quantity/reading.hpp"
#include "core/system/system.hpp"

namespace amphora::bench {

class PlainCounting {
public:
    explicit PlainCounting(const Battery& battery) : battery_(battery) {}

    /// Counts one reading; a missing number counts as nothing.
    void push(const Reading& r) {
        const double dt = last_.us == 0 ? 0 : std::clamp((r.at - last_).value(), 0.0, 120.0);
        last_ = r.at;
        if (r.current.known()) charge_ = std::min(1.0, charge_ + (r.current * Second(dt)) / battery_.design_capacity);
        const bool full =
            r.voltage >= battery_.full.voltage && r.current >= Ampere(0) && r.current <= battery_.full.current_below;
        held_ = full ? held_ + Second(dt) : Second(0);
        if (held_ >= battery_.full.held_for) {
            charge_ = 1;
            full_at_ = r.at;
        }
    }

    [[nodiscard]] double state_of_charge() const { return charge_; }
    /// When full was last seen; 0 before the first time.
    [[nodiscard]] Instant full_at() const { return full_at_; }

private:
    const Battery& battery_;
    double charge_ = 0.5;
    Second held_{0};
    Instant last_{}, full_at_{};
};

}  // namespace amphora::bench
