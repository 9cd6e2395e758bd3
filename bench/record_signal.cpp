#include "record_signal.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace amphora::bench {

// SplitMix64: small, seedable, good enough for noise.
std::uint64_t Signal::bits() {
    std::uint64_t z = (state_ += 0x9E3779B97F4A7C15U);
    z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9U;
    z = (z ^ (z >> 27U)) * 0x94D049BB133111EBU;
    return z ^ (z >> 31U);
}

// Marsaglia's polar method.
double Signal::gauss() {
    if (has_spare_) {
        has_spare_ = false;
        return spare_;
    }
    for (;;) {
        const double u = 2.0 * uniform() - 1.0;
        const double v = 2.0 * uniform() - 1.0;
        const double s = u * u + v * v;
        if (s >= 1.0 || s == 0.0) continue;
        const double k = std::sqrt(-2.0 * std::log(s) / s);
        spare_ = v * k;
        has_spare_ = true;
        return u * k;
    }
}

/// What changes once a minute: sun, clouds, lamps, laptop, inverter, the weather outside.
void Signal::minute() {
    const double hour = static_cast<double>(second_ % 86400) / 3600.0;
    const double day = static_cast<double>(second_) / 86400.0;
    const double season = std::cos(2.0 * std::numbers::pi * (day - 172.0) / 365.25);
    const double half_day = 6.0 + 2.0 * season;
    const double height = std::cos((hour - 12.5) / half_day * std::numbers::pi / 2.0);
    sun_ = std::abs(hour - 12.5) < half_day ? std::max(0.0, height) * (14.0 + 6.0 * season) : 0.0;
    cloud_ = std::clamp(cloud_ + 0.05 * gauss() + 0.01 * (0.7 - cloud_), 0.1, 1.0);
    lamps_ = hour > 19.0 && hour < 23.2 ? 1.8 : 0.0;
    if (hour > 9.0 && hour < 22.0 && uniform() < 1.0 / 90.0) laptop_ = !laptop_;
    if (hour < 1.0) laptop_ = false;
    const bool breakfast = std::abs(hour - 7.5) < 0.005;
    const bool supper = std::abs(hour - 18.5) < 0.005;
    if (breakfast || supper) burst_until_ = second_ + 600;
    const double outside = 11.0 + 8.0 * season + 5.0 * std::sin((hour - 9.0) / 12.0 * std::numbers::pi);
    temperature_ += (outside + 6.0 - temperature_) * 0.004;
}

SignalStep Signal::next() {
    if (second_ % 60 == 0) minute();
    if (second_ >= fridge_until_) {
        fridge_on_ = !fridge_on_;
        fridge_until_ = second_ + static_cast<std::int64_t>((fridge_on_ ? 600.0 : 1500.0) * (0.8 + 0.4 * uniform()));
    }
    const double load =
        0.35 + (fridge_on_ ? 3.6 : 0.0) + lamps_ + (laptop_ ? 4.2 : 0.0) + (second_ < burst_until_ ? 95.0 : 0.0);
    const double taper = charge_ > 0.95 ? std::max(0.0, (1.0 - charge_) / 0.05) : 1.0;
    const double in = std::min(sun_ * cloud_, load + sun_ * cloud_ * taper);
    const double current = in - load;
    charge_ = std::clamp(charge_ + current / 3600.0 / 200.0, 0.05, 1.0);
    const double voltage = 12.9 + 0.5 * charge_ + 0.0045 * current + (charge_ > 0.95 ? (charge_ - 0.95) * 8.0 : 0.0);
    ++second_;

    SignalStep step{};
    const double levels[3] = {current * noise_.current_per_ampere, voltage * noise_.voltage_per_volt,
                              temperature_ * noise_.temperature_per_degree};
    const double sigmas[3] = {noise_.current, noise_.voltage, noise_.temperature};
    for (int c = 0; c < 3; ++c) {
        step.level[c] = levels[c];
        step.value[c] = static_cast<std::int32_t>(std::lround(levels[c] + sigmas[c] * gauss()));
    }
    return step;
}

}  // namespace amphora::bench
