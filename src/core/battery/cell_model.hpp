// What a cell of a chemistry is like: the figures that the estimator starts from before it has seen this battery.
// One readable table per chemistry (lfp.cpp, lead_acid.cpp, lithium_ion.cpp), each figure with its source.
#pragma once

#include <array>
#include <cstddef>

#include "core/battery/ocv_curve.hpp"
#include "core/system/system.hpp"

namespace amphora {

/// Open-circuit voltage and how well it is known, per cell.
struct OcvKnowledge {
    // Below this state of charge the voltage teaches the capacity too. Nearer to full an error of the curve looks the
    // same as a wrong capacity.
    Fraction teaches_below{0.0};
    static constexpr Fraction teaches_everywhere{2.0};
    double fence =
        0.0;  // voltage is used only while the doubt is more than this many times what one look tells; 0: always
    OcvCurve curve;
    static constexpr std::size_t knot_count = 5;
    std::array<double, knot_count> knots{};  // states of charge between which the curve's error is interpolated
    Volt bias_sd{};                          // of the whole curve (meter's voltage error included)
    Volt shape_sd{};                         // of each knot beside that
    Volt wander_sd{};                        // error that comes and goes: history, relaxation, temperature
    Hour wander_time{};
    Fraction knee_sd{};  // how far a steep part may lie to one side, in state of charge
};

/// Resistances per cell for one ampere-hour of capacity (ohm times ampere-hour: divide by the capacity), at 25 C.
struct ResistanceKnowledge {
    double ohmic_ohm_ah = 0.0;
    double fast_ohm_ah = 0.0;
    double slow_ohm_ah = 0.0;
    double spread = 0.5;  // relative sd of each
    Second fast_time{};
    Second slow_time{};
    double activation_k = 0.0;  // R(T) = R25 exp(activation (1/T - 1/298.15 K))
};

/// Where charge goes that is put in and does not come back: efficiency = 1 - loss * shape(z),
/// shape = floor + (1 - floor) * clamp((z - onset)/(1 - onset), 0, 1).
struct LossKnowledge {
    double loss = 0.0;  // at the top of the charge
    double loss_sd = 0.0;
    double day_sd = 0.35;  // of what is lost on one day, beside that; relative
    double floor = 1.0;
    Fraction onset{0.0};
    Fraction top{};                         // acceptance fades to nothing over this last part (gassing)
    double self_discharge_per_month = 0.0;  // part of the capacity, at 20 C; doubles every 10 K
};

struct HysteresisKnowledge {
    Volt amplitude{};
    Volt amplitude_sd{};
    double sharpness = 0.0;  // capacity fractions moved to go over: rate in Plett's one-state form
};

/// How a battery at its full-charge evidence differs from truly full: missing part = tail_hours * current / capacity.
struct TailKnowledge {
    Hour time{};
    double spread = 0.5;   // relative sd of that
    Fraction floor_sd{};   // never surer than this
    Fraction always_sd{};  // what passes for full may be short of it by this every time; no anchor tells
    Fraction hasty_sd{};   // nor than this before the description's whole evidence for full is there
};

struct CellModel {
    OcvKnowledge ocv;
    ResistanceKnowledge resistance;
    HysteresisKnowledge hysteresis;
    LossKnowledge loss;
    TailKnowledge tail;
    Volt near_empty{};             // corrected for the load: below it the battery is as good as empty
    Fraction near_empty_charge{};  // what is then left
    Fraction near_empty_sd{};
    Volt charger_voltage{};  // above this under charge, the voltage tells of the charger, not of the charge
    Volt near_full{};        // corrected for the load: above it the battery is as good as full (zero: no such mark)
    Fraction near_full_missing{};
    Fraction near_full_sd{};
    double capacity_bias = 0.0;  // ln(true / label), mean over batteries in use
    double capacity_sd = 0.0;
    double capacity_floor_sd = 0.0;  // never surer than this
};

/// The model of the battery's chemistry, with the battery's own measured curve where it has one.
[[nodiscard]] CellModel cell_model(const Battery& battery);

}  // namespace amphora
