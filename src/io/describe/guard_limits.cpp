#include "io/describe/guard_limits.hpp"

#include <algorithm>

#include "io/describe/chemistry_defaults.hpp"

namespace amphora::describe {
namespace {

/// Of the shunt in use, or a guess by the battery.
Ampere rated_current(const System& s) {
    for (std::size_t i = 0; i < s.meters.size(); ++i)
        if (s.meters[i].rated_current.known() && (i >= s.equipment.meters.size() || s.equipment.meters[i].in_use))
            return s.meters[i].rated_current;
    return Ampere(s.battery.design_capacity.value());
}

}  // namespace

LevelSpan possible(Watched watched, const System& system) {
    constexpr double long_time = 1e9;
    const auto& kind = defaults_of(system.battery.chemistry);
    const double cells = system.battery.cells_in_series;
    switch (watched) {
        case Watched::voltage:
        case Watched::unloaded_voltage:
            return {Level(kind.open_circuit.low.value() * cells), Level(kind.full.high.value() * cells)};
        case Watched::current_in:
        case Watched::current_out:
        case Watched::reverse_current:
            return {Level(0.0), Level(20'000.0)};
        case Watched::state_of_charge:
        case Watched::lowest_state_of_charge:
            return {Level(0.0), Level(1.0)};
        case Watched::temperature:
            return {Level(-40.0), Level(85.0)};
        case Watched::cell_spread:
            return {Level(0.003), Level(kind.full.high.value())};  // cells that agree better are measured no better
        case Watched::silence:
            return {Level(1.0), Level(long_time)};
        case Watched::time_to_empty:
            return {Level(0.0), Level(long_time)};
    }
    return {};
}

Level least_distance(Watched watched, const System& system) {
    constexpr double noises = 5.0;
    switch (watched) {
        case Watched::voltage:
        case Watched::unloaded_voltage:
            return Level(noises * 0.010 * system.nominal_voltage.value() / 12.0);
        case Watched::current_in:
        case Watched::current_out:
        case Watched::reverse_current:
            return Level(noises * 0.001 * rated_current(system).value());
        case Watched::state_of_charge:
        case Watched::lowest_state_of_charge:
            return Level(noises * 0.005);
        case Watched::temperature:
            return Level(noises * 0.2);
        case Watched::cell_spread:
            return Level(noises * 0.002);
        case Watched::silence:
            return Level(0.0);
        case Watched::time_to_empty:
            return Level(noises * 0.25);
    }
    return Level(0.0);
}

std::string_view unit_of(Watched watched) {
    if (is_voltage(watched) || watched == Watched::cell_spread) return "V";
    if (is_current(watched)) return "A";
    if (watched == Watched::temperature) return "C";
    if (watched == Watched::silence) return "s";
    return watched == Watched::time_to_empty ? "h" : "";
}

}  // namespace amphora::describe
