#include "io/intake/scale_check.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace amphora::intake {
namespace {

constexpr double longest_gap = 120.0;  // seconds; beyond it the state of charge moves the voltage too

/// Share `part` of the sorted figures lies below it; NaN when there are none.
double quantile(std::vector<double> figures, double part) {
    if (figures.empty()) return NAN;
    const auto index = static_cast<std::size_t>(part * static_cast<double>(figures.size() - 1));
    std::ranges::nth_element(figures, figures.begin() + static_cast<std::ptrdiff_t>(index));
    return figures[index];
}

template <class Figure>
std::vector<double> figures_of(const std::vector<Reading>& readings, Figure figure) {
    std::vector<double> figures;
    for (const Reading& r : readings)
        if (const double value = figure(r); std::isfinite(value)) figures.push_back(value);
    return figures;
}

/// A lead-acid battery that is flat holds about 0.9 of its nominal voltage, a lithium one that is being charged 1.25
/// (common practice, no source); with room for cut-offs, equalising and odd counts of cells.
bool can_be_volts(double volts, const System* system) {
    if (system != nullptr && system->nominal_voltage.known() && system->nominal_voltage.value() > 0.0) {
        const double share = volts / system->nominal_voltage.value();
        return share >= 0.55 && share <= 1.6;
    }
    return volts >= 8.0 && volts <= 65.0;  // 12, 24 or 48 V
}

std::string unit_of(double factor, const char* symbol) {
    if (factor == 0.001) return fmt::format("m{}", symbol);
    if (factor == 0.01)
        return fmt::format("hundredths of a{} {}", *symbol == 'A' ? "n" : "", *symbol == 'A' ? "ampere" : "volt");
    if (factor == 0.1)
        return fmt::format("tenths of a{} {}", *symbol == 'A' ? "n" : "", *symbol == 'A' ? "ampere" : "volt");
    return fmt::format("{} {}", factor, symbol);
}

/// Ohms of the whole battery times its ampere-hours, per cell: about 0.05 to 1 for every chemistry in use, small and
/// large, leads included (from memory: data sheets give 0.5 mohm for an LFP cell of 100 Ah, 5 mohm for a lead-acid
/// block of six cells and 100 Ah). A factor of a thousand shows.
bool can_be_resistance(double ohms, const System& system) {
    const double product = ohms / system.battery.cells_in_series * system.battery.design_capacity.value();
    return product >= 0.0065 && product <= 6.5;
}

}  // namespace

ScaleVerdict judge_voltage(const std::vector<Reading>& readings, const System* system, bool unit_named) {
    auto volts = figures_of(readings, [](const Reading& r) { return r.voltage.value(); });
    std::erase_if(volts, [](double v) { return v == 0.0; });  // a meter that is off
    const double typical = quantile(std::move(volts), 0.5);
    if (!std::isfinite(typical) || can_be_volts(typical, system)) return {};
    // Where no system is described it may be a cell, or more than 48 V.
    if (system == nullptr && typical >= 1.5 && typical <= 120.0) return {};
    std::vector<double> fitting;
    for (const double factor : {0.001, 0.01, 0.1, 1000.0})
        if (can_be_volts(typical * factor, system)) fitting.push_back(factor);
    const std::string seen = fmt::format("the voltages lie around {:.6g}{}", typical, unit_named ? " V" : "");
    if (fitting.size() == 1 && fitting[0] < 1.0)
        return {.factor = fitting[0], .said = fmt::format("{}: those are {}", seen, unit_of(fitting[0], "V"))};
    if (fitting.size() == 1)  // 12.8 under a header that says mV
        return {.factor = fitting[0],
                .said = fmt::format("the voltages lie around {:.6g} V if they are mV: those are V", typical)};
    const double cells = system != nullptr ? system->battery.cells_in_series : 0;
    if (cells > 1 && can_be_volts(typical * cells, system))
        return {.said = fmt::format("{}: that is one cell, not the battery of {:.0f} cells; name another column, or "
                                    "give a scale of {:.0f}",
                                    seen, cells, cells),
                .sure = false};
    return {
        .said = system != nullptr
                    ? fmt::format("{}, which a system of {:.0f} V does not have; is it another column, another "
                                  "unit, or another system?",
                                  seen, system->nominal_voltage.value())
                    : fmt::format("{}, which no battery of 12, 24 or 48 V has; is it another column or another unit?",
                                  seen),
        .sure = false};
}

std::optional<double> resistance_in(const std::vector<Reading>& readings) {
    std::vector<std::pair<double, double>> steps;
    double largest = 0.0;
    for (std::size_t i = 1; i < readings.size(); ++i) {
        const double gap = (readings[i].at - readings[i - 1].at).value();
        const double step = (readings[i].current - readings[i - 1].current).value();
        const double rise = (readings[i].voltage - readings[i - 1].voltage).value();
        if (!(gap > 0.0 && gap <= longest_gap) || !std::isfinite(step) || !std::isfinite(rise)) continue;
        steps.emplace_back(step, rise);
        largest = std::max(largest, std::abs(step));
    }
    double ii = 0.0;
    double vv = 0.0;
    double iv = 0.0;
    std::size_t count = 0;
    for (const auto& [step, rise] : steps) {
        if (std::abs(step) < 0.2 * largest) continue;
        ++count;
        ii += step * step;
        vv += rise * rise;
        iv += step * rise;
    }
    if (count < 8 || !(ii > 0.0) || !(vv > 0.0) || std::abs(iv) < 0.6 * std::sqrt(ii * vv)) return std::nullopt;
    return std::abs(iv) / ii;
}

ScaleVerdict judge_current(const std::vector<Reading>& readings, const System* system, bool unit_named, bool whole) {
    auto amperes = figures_of(readings, [](const Reading& r) { return std::abs(r.current.value()); });
    const double high = quantile(std::move(amperes), 0.99);
    if (!std::isfinite(high) || high == 0.0) return {};
    const double capacity = system != nullptr ? system->battery.design_capacity.value() : 300.0;
    const std::string seen = fmt::format("the currents reach {:.6g}{}", high, unit_named ? " A" : "");
    const ScaleVerdict thousandths{.factor = 0.001, .said = fmt::format("{}: those are mA", seen)};
    const auto doubted = [&](double factor, std::string why) {
        return ScaleVerdict{.factor = factor, .said = std::move(why), .sure = false};
    };
    if (const auto ohms = resistance_in(readings); ohms && system != nullptr) {
        if (can_be_resistance(*ohms, *system) && high <= 10.0 * capacity) return {};
        if (can_be_resistance(*ohms * 1000.0, *system) && high * 0.001 <= 10.0 * capacity) {
            if (!whole && high <= 10.0 * capacity) return {};  // a stiff battery, or a voltage that is smoothed
            if (!unit_named || high > 3.0 * capacity) return thousandths;
            return doubted(1.0,
                           fmt::format("{}, and the voltage moves with them as it would with mA; are they mA?", seen));
        }
        if (can_be_resistance(*ohms / 1000.0, *system) && high * 1000.0 <= 3.0 * capacity && unit_named)
            return doubted(
                1.0, fmt::format("{}, and the voltage moves with them as it would with a thousand times as much; is "
                                 "the unit right?",
                                 seen));
    }
    if (high > 10.0 * capacity && high * 0.001 <= 3.0 * capacity) return thousandths;
    if (high > 3.0 * capacity && high * 0.001 <= 3.0 * capacity && !unit_named && whole) return thousandths;
    if (high > 10.0 * capacity)
        return doubted(1.0, fmt::format("{}, far more than a battery of {:.0f} Ah can give; in which unit are they?",
                                        seen, capacity));
    if (!unit_named && whole && high >= 50.0)
        return doubted(1.0, fmt::format("{} and have no decimals: are they A or mA? Nothing in the log tells", seen));
    return {};
}

ScaleVerdict judge_temperature(const std::vector<Reading>& readings, bool unit_named) {
    const double typical = quantile(figures_of(readings, [](const Reading& r) { return r.temperature.value(); }), 0.5);
    if (!std::isfinite(typical) || (typical >= -40.0 && typical <= 60.0)) return {};
    const std::string seen = fmt::format("the temperatures lie around {:.4g}{}", typical, unit_named ? " °C" : "");
    if (unit_named) return {.said = fmt::format("{}, which no battery survives: look at the sensor", seen)};
    if (typical > 60.0 && typical <= 120.0) return {.fahrenheit = true, .said = fmt::format("{}: those are °F", seen)};
    return {.said = fmt::format("{}: in which unit? Give a scale and an offset that make °C of them", seen),
            .sure = false};
}

}  // namespace amphora::intake
