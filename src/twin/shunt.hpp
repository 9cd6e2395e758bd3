// What the meter makes of the truth: offset, gain, noise, steps of its display, gaps, repeated lines, missing numbers.
#pragma once

#include "core/quantity/reading.hpp"
#include "twin/random.hpp"

namespace amphora::twin {

struct ShuntSpec {
    Ampere offset{0};
    Ampere offset_walk{0};        // sd of the offset's random walk after a day
    Ampere offset_per_kelvin{0};  // from 20 C
    double gain = 0;              // error, as a share
    Ampere noise{0.02};
    Ampere step{0.01};
    double voltage_gain = 0;
    Volt voltage_offset{0};
    Volt voltage_noise{0.003};
    Volt voltage_step{0.01};
    bool measures_temperature = true;
    double temperature_error = 0;   // K
    double temperature_step = 0.1;  // K
    double gaps_per_month = 0;
    Second gap{600};     // typical length; the logarithm is spread by 1.5
    double repeats = 0;  // share of lines written twice
    double missing = 0;  // share of lines with a number missing
};

class Shunt {
public:
    Shunt(const ShuntSpec& spec, Random random) : spec_(spec), random_(random), offset_(spec.offset) {}

    /// Once a minute: drift, and whether the log breaks off.
    void minute(Instant now, Celsius temperature);

    [[nodiscard]] bool in_gap(Instant now) const { return now < gap_until_; }
    /// What the meter says, given the truth.
    Reading read(Instant now, Ampere current, Volt voltage, Celsius temperature);
    /// Whether this line is written twice.
    bool repeats() { return spec_.repeats > 0 && random_.chance(spec_.repeats); }

    [[nodiscard]] Ampere offset() const { return offset_; }
    [[nodiscard]] const ShuntSpec& spec() const { return spec_; }

private:
    ShuntSpec spec_;
    Random random_;
    Ampere walked_{0}, offset_;
    Instant gap_until_{};
};

}  // namespace amphora::twin
