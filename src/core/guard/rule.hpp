// One protective rule: a level, how long it may be passed, and how it clears. It knows a value and the passing of time,
// nothing else.
#pragma once

#include <cstdint>
#include <optional>

#include "core/system/protection.hpp"

namespace amphora::guard {

enum class Phase : std::uint8_t {
    clear,
    timing,   // the level is passed, the delay runs
    tripped,  // and the clear level not reached
    clearing  // tripped still; the clear level is reached, its delay runs
};

/// What a rule did, and how long before the end of the time that passed.
struct Change {
    bool tripped = false;  // else it cleared
    Second ago{};
};

class Rule {
public:
    explicit Rule(const described::Guard& settings);

    /// Lets time pass with the value seen last. While that is unknown, no delay runs and none starts anew.
    std::optional<Change> pass(Second time);

    /// A new value; missing() when it is not known. Follow it by pass(0) for rules without delay.
    void see(Level value);

    /// Clears a rule that latches, or any other, at once.
    void clear();
    /// As it was before the program stopped. Where it is not known how far the level had been passed, just so far.
    void restore(bool tripped, Level worst);

    [[nodiscard]] Phase phase() const { return phase_; }
    [[nodiscard]] bool tripped() const { return phase_ == Phase::tripped || phase_ == Phase::clearing; }
    [[nodiscard]] bool blind() const { return !known_; }
    [[nodiscard]] Level value() const { return value_; }
    /// The value that passed the level furthest since the delay began to run.
    [[nodiscard]] Level worst() const { return worst_; }
    [[nodiscard]] Level trip_level() const { return trip_; }
    [[nodiscard]] bool trips_below() const { return below_; }

private:
    [[nodiscard]] bool passed() const { return below_ ? value_ < trip_ : value_ > trip_; }
    [[nodiscard]] bool back() const { return below_ ? value_ >= clear_ : value_ <= clear_; }
    std::optional<std::int64_t> until_trip() const;

    bool below_;
    Level trip_;
    Level clear_;
    bool latches_;
    std::int64_t trip_after_us_;  // whole microseconds, so that it does not matter into how many looks time is cut
    std::int64_t clear_after_us_;
    TimeCurve curve_;
    double multiplier_;

    Phase phase_ = Phase::clear;
    Level value_ = Level::missing();
    Level worst_ = Level::missing();
    bool known_ = false;
    std::int64_t run_us_ = 0;  // of the delay
    double spent_ = 0.0;       // share of the curve's time
};

}  // namespace amphora::guard
