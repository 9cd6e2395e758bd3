// Readings to push through a pipeline in property tests, and a battery of every chemistry to push them into.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>
#include <random>
#include <vector>

#include "core/quantity/reading.hpp"
#include "core/system/system.hpp"

namespace amphora {

inline constexpr double start_of_time = 1.75e9;
inline constexpr double nan = std::numeric_limits<double>::quiet_NaN();

/// Roughly where a chemistry's voltage lies, for the whole battery: 12 V class.
struct VoltageRange {
    int cells;
    double empty, full, charging;  // V; the last is added while the battery is full and charged
};

inline VoltageRange voltage_range(Chemistry chemistry) {
    if (is_lead_acid(chemistry)) return {6, 11.9, 12.8, 1.5};
    if (chemistry == Chemistry::lfp) return {4, 12.9, 13.4, 0.6};
    if (chemistry == Chemistry::lto) return {5, 11.0, 13.0, 0.5};
    return {4, 13.6, 16.4, 0.3};
}

inline System battery_of(Chemistry chemistry) {
    const VoltageRange range = voltage_range(chemistry);
    System system;
    system.battery.chemistry = chemistry;
    system.battery.design_capacity = AmpHour(100);
    system.battery.cells_in_series = range.cells;
    system.battery.full = {Volt(range.full + 0.8 * range.charging), Ampere(4), Second(180)};
    return system;
}

/// Days of ordinary use at one reading every five seconds: loads by day and night, sun at noon.
inline std::vector<Reading> ordinary_days(Chemistry chemistry, double days) {
    constexpr double interval = 5;
    const VoltageRange range = voltage_range(chemistry);
    std::mt19937_64 random(1);
    std::normal_distribution<double> unit;
    std::vector<Reading> readings;
    double charge = 70;
    for (double t = 0; t < days * 86400; t += interval) {
        const double hour = std::fmod(t / 3600, 24);
        const double sun = 14 * std::max(0.0, std::sin((hour - 6) * std::numbers::pi / 12));
        double current = sun - 3 - (hour > 18 && hour < 22 ? 4 : 0) + 0.1 * unit(random);
        if (charge >= 99.5 && current > 0) current = 0.5;
        charge = std::min(100.0, charge + current * interval / 3600);
        const double rested = range.empty + (range.full - range.empty) * charge / 100;
        const double volt = rested + (charge > 99 ? range.charging : 0) + 0.004 * current;
        readings.push_back({Instant::from_unix(start_of_time + t), Ampere(current), Volt(volt), Celsius(18)});
    }
    return readings;
}

}  // namespace amphora
