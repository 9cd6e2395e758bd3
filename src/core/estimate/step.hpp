// A step: the readings of about a minute, summed. The filter thinks in steps; charge inside a step is summed exactly.
// Kept small and in single precision, because hindsight keeps every step of the log (44 bytes a minute with its slot).
#pragma once

#include <cstdint>

#include "core/quantity/instant.hpp"
#include "core/quantity/quantity.hpp"

namespace amphora {

struct Step {
    std::uint32_t length_ms = 0;  // from the end of the step before to the end of this one
    float charge_in_ah = 0.0F;    // as the meter counted, both positive
    float charge_out_ah = 0.0F;
    float voltage_v = 0.0F;         // mean over the step, NaN if never measured
    float current_spread_a = 0.0F;  // rms of the current inside the step about its mean
    float temperature_c = 0.0F;     // NaN if never measured
    float tail_a = -1.0F;    // mean current while the charger held its voltage at the step's end; negative: it did not
    bool full = false;       // the description's whole evidence for full was seen
    float unknown_s = 0.0F;  // time without readings in this step
    float unknown_var = 0.0F;  // variance of the charge of that time, Ah^2

    [[nodiscard]] double hours() const { return static_cast<double>(length_ms) / 3.6e6; }
    [[nodiscard]] double net_ah() const {
        return static_cast<double>(charge_in_ah) - static_cast<double>(charge_out_ah);
    }
};

}  // namespace amphora
