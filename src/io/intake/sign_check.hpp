// Whether a log's current has the sign that physics gives it: when current leaves a battery its voltage falls, so that
// steps of current and of voltage go the same way when current into the battery is positive (Ohm's law on the inner
// resistance).
#pragma once

#include <cstdint>

#include "core/quantity/reading.hpp"

namespace amphora::intake {

/// Undirected: the current is never negative, yet the voltage rises with it now and falls with it then, as where a
/// meter writes how much flows but not which way.
enum class SignVerdict { agrees, reversed, undirected, unclear };

class SignCheck {
public:
    /// Takes the readings in the order of the log.
    void push(const Reading& reading);
    /// Reversed or agreeing only with at least 20 clear steps and a correlation beyond 0.5. Undirected only with 30 of
    /// them, 12 % of what they make going one way and the rest the other, and sizes of steps and rises that go together
    /// (correlation beyond 0.6), so that neither noise nor loads behind the meter are taken for it.
    [[nodiscard]] SignVerdict verdict() const;
    [[nodiscard]] std::uint64_t steps() const { return steps_; }
    /// Correlation of the steps, -1 to 1; 0 before any.
    [[nodiscard]] double correlation() const;

private:
    [[nodiscard]] double size_correlation() const;

    Reading last_;
    double with_ = 0.0;  // of iv_, where the voltage rose with the current, and where it fell
    double against_ = 0.0;
    bool negative_ = false;  // a current was
    double pairs_ = 0.0;     // of neighbours, of every size of step; and sums of sizes of steps (s) and rises (r)
    double s_ = 0.0;
    double r_ = 0.0;
    double ss_ = 0.0;
    double rr_ = 0.0;
    double sr_ = 0.0;
    std::uint64_t steps_ = 0;
    double largest_ = 0.0;
    double ii_ = 0.0;
    double vv_ = 0.0;
    double iv_ = 0.0;
};

}  // namespace amphora::intake
