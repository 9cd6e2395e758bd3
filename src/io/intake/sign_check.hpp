// Whether a log's current has the sign that physics gives it: when current leaves a battery its voltage falls, so that
// steps of current and of voltage go the same way when current into the battery is positive (Ohm's law on the inner
// resistance).
#pragma once

#include <cstdint>

#include "core/quantity/reading.hpp"

namespace amphora::intake {

enum class SignVerdict { agrees, reversed, unclear };

class SignCheck {
public:
    /// Takes the readings in the order of the log.
    void push(const Reading& reading);
    /// Reversed or agreeing only with at least 20 clear steps and a correlation beyond 0.5.
    [[nodiscard]] SignVerdict verdict() const;
    [[nodiscard]] std::uint64_t steps() const { return steps_; }
    /// Correlation of the steps, -1 to 1; 0 before any.
    [[nodiscard]] double correlation() const;

private:
    Reading last_;
    std::uint64_t steps_ = 0;
    double largest_ = 0.0;
    double ii_ = 0.0;
    double vv_ = 0.0;
    double iv_ = 0.0;
};

}  // namespace amphora::intake
