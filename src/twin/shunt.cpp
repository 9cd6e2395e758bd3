#include "twin/shunt.hpp"

#include <algorithm>
#include <cmath>

#include "core/quantity/shown.hpp"

namespace amphora::twin {
namespace {

template <class Q>
Q rounded(Q value, Q step) {
    // nearbyint is one instruction where round is a call.
    return step.value() > 0 ? Q(shown(step.value() * std::nearbyint(value / step))) : value;
}

}  // namespace

void Shunt::minute(Instant now, Celsius temperature) {
    constexpr double minutes_per_day = 1440;
    if (spec_.offset_walk.value() > 0) walked_ += spec_.offset_walk * (random_.normal() / std::sqrt(minutes_per_day));
    offset_ = spec_.offset + walked_ + spec_.offset_per_kelvin * (temperature.value() - 20);
    if (spec_.gaps_per_month > 0 && !in_gap(now) && random_.chance(spec_.gaps_per_month / 30 / minutes_per_day)) {
        const double length = spec_.gap.value() * std::exp(1.5 * random_.normal());
        gap_until_ = now + Second(std::clamp(length, 120.0, 4 * 86400.0));
    }
}

Reading Shunt::read(Instant now, Ampere current, Volt voltage, Celsius temperature) {
    Reading r;
    r.at = now;
    r.current = rounded(current * (1 + spec_.gain) + offset_ + spec_.noise * random_.grain(), spec_.step);
    r.voltage =
        rounded(voltage * (1 + spec_.voltage_gain) + spec_.voltage_offset + spec_.voltage_noise * random_.grain(),
                spec_.voltage_step);
    if (spec_.measures_temperature)
        r.temperature = rounded(temperature + Celsius(spec_.temperature_error), Celsius(spec_.temperature_step));
    if (spec_.missing > 0 && random_.chance(spec_.missing)) {
        switch (random_.pick(3)) {
            case 0:
                r.current = Ampere::missing();
                break;
            case 1:
                r.voltage = Volt::missing();
                break;
            default:
                r.temperature = Celsius::missing();
                break;
        }
    }
    return r;
}

}  // namespace amphora::twin
