// Appliances that switch themselves on and off while they are on: a refrigerator's compressor, a heater's glow plug.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "core/quantity/quantity.hpp"

namespace amphora {

struct DutyCycle {
    std::vector<std::size_t> starts;  // readings at which it began to run, the first one seen whole
    Ampere running{};                 // mean while it runs, of the current as it was given
    Fraction duty{};                  // of the whole cycles; missing() below one
    [[nodiscard]] std::size_t whole_cycles() const { return starts.empty() ? 0 : starts.size() - 1; }
};

/// Looks for two levels in a draw (magnitudes: larger is more), equally spaced, that take turns, each for three
/// readings at least, so that the surge of a start counts as none. They must lie further apart than three tenths of the
/// higher level above `rest`, what flows while it is off, and six times `noise`. Nothing for a draw that is steady.
[[nodiscard]] std::optional<DutyCycle> find_duty_cycle(std::span<const Ampere> draw, Ampere rest, Ampere noise);

}  // namespace amphora
