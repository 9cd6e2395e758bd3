// Two synthetic years of a van's battery at one reading a second, for measuring the record's size and speed.
// They are made up: white Gaussian noise around steps and slow drifts. Ratios between programs fed the same signal
// carry over to a real meter better than bytes do.
#pragma once

#include <cstdint>

namespace amphora::bench {

/// How coarse the meter is and how noisy: current, voltage and temperature in the meter's own steps.
struct MeterNoise {
    double current;
    double voltage;
    double temperature;
    int current_per_ampere;  // steps in one ampere
    int voltage_per_volt;
    int temperature_per_degree;
};

/// 10 mA, 10 mV, 0.1 degree: a plain shunt meter.
inline constexpr MeterNoise plain_meter{2.0, 0.4, 0.5, 100, 100, 10};
/// 1 mA, 1 mV, 0.1 degree: a fine one, whose noise covers many steps.
inline constexpr MeterNoise fine_meter{10.6, 1.5, 0.28, 1000, 1000, 10};

/// One reading in steps, and the level beneath its noise (what an all-knowing coder would know).
struct SignalStep {
    std::int32_t value[3];  // current, voltage, temperature
    double level[3];
};

/// The signal itself: refrigerator, lamps, laptop, two inverter bursts a day, a solar bell with clouds.
class Signal {
public:
    Signal(const MeterNoise& noise, std::uint64_t seed) : noise_(noise), state_(seed * 0x9E3779B97F4A7C15U + 1) {}
    SignalStep next();

private:
    std::uint64_t bits();
    double uniform() { return static_cast<double>(bits() >> 11U) * 0x1.0p-53; }
    double gauss();
    void minute();

    MeterNoise noise_;
    std::uint64_t state_;
    std::int64_t second_ = 0;
    double spare_ = 0.0;
    bool has_spare_ = false;
    bool fridge_on_ = false;
    std::int64_t fridge_until_ = 0;
    std::int64_t burst_until_ = 0;
    bool laptop_ = false;
    double cloud_ = 1.0;
    double sun_ = 0.0;
    double lamps_ = 0.0;
    double charge_ = 0.7;  // share of 200 Ah
    double temperature_ = 18.0;
};

}  // namespace amphora::bench
