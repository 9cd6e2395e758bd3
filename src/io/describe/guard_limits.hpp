// Between which values what a guard watches can lie at all, and how finely a meter tells them apart.
#pragma once

#include <string_view>

#include "core/system/system.hpp"

namespace amphora::describe {

struct LevelSpan {
    Level low{};
    Level high{};
};

/// What can be true of this system at all. Levels outside are never reached.
[[nodiscard]] LevelSpan possible(Watched watched, const System& system);

/// The least distance between trip and clear level: five times the noise of a plain meter (10 mV at 12 V, 0.1 % of the
/// shunt, 0.5 points of charge, 0.2 K, 2 mV between cells, a quarter of an hour; common practice, no source).
[[nodiscard]] Level least_distance(Watched watched, const System& system);

/// "V", "A", "C", "s", "h", or nothing for a share of 1.
[[nodiscard]] std::string_view unit_of(Watched watched);

[[nodiscard]] inline bool is_voltage(Watched w) { return w == Watched::voltage || w == Watched::unloaded_voltage; }
[[nodiscard]] inline bool is_current(Watched w) {
    return w == Watched::current_in || w == Watched::current_out || w == Watched::reverse_current;
}
[[nodiscard]] inline bool is_charge(Watched w) {
    return w == Watched::state_of_charge || w == Watched::lowest_state_of_charge;
}

/// Below freezing, lithium batteries of these chemistries must not be charged (cell data sheets; LFP: no charging below
/// 0 C).
[[nodiscard]] inline bool frost_forbids_charging(Chemistry c) {
    return c == Chemistry::lfp || c == Chemistry::nmc || c == Chemistry::nca;
}

}  // namespace amphora::describe
