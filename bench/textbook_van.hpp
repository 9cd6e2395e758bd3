// A second van with known truth, as plain as textbooks draw one: fixed habits, one-state hysteresis, two RC pairs, the
// ampere-hour law of charging, a meter with constant errors. It guards against an estimator that only suits src/twin.
// Forms: G. Plett, Battery Management Systems vol. 1 (from memory); charging losses after J. Stevens, G. Corey (Sandia,
// IEEE PVSC 1996), milder for sealed blocks (from memory).
#pragma once

#include <span>

#include "core/quantity/reading.hpp"
#include "core/system/system.hpp"
#include "twin/random.hpp"
#include "twin/van.hpp"

namespace amphora::bench {

class TextbookVan {
public:
    /// LFP or AGM, 12 V; everything else follows from the seed.
    TextbookVan(std::uint64_t seed, Chemistry chemistry, Second interval);

    /// Lives for one interval; always one reading.
    std::span<const Reading> step();
    [[nodiscard]] const twin::Truth& truth() const { return truth_; }
    [[nodiscard]] const System& system() const { return system_; }

private:
    struct Cell {
        double ohmic = 0, fast = 0, slow = 0;  // ohm
        double fast_s = 30, slow_s = 1800;
        double hysteresis_v = 0, sharpness = 50;
        double curve_off_v = 0;
        double kept = 1, kept_at_top = 1, knee = 1;  // coulombic efficiency, falling straight above the knee
        double fills_in_h = 1;                       // lead-acid, held at its voltage
    };
    struct Life {
        double base_w = 5, fridge_w = 45, fridge_duty = 0.3, evening_w = 40, burst_w = 0, bursts_a_day = 0;
        double panels_w = 200, cloud_memory = 0.5, dull = 0.3;
        double spares_below = 0.1, patience_d = 10, shore_a = 20;
    };

    void new_day();
    [[nodiscard]] double rest_volt(double z) const;
    [[nodiscard]] double load_w(double hour);
    [[nodiscard]] double offered_a(double hour) const;

    twin::Random random_;
    System system_;
    Cell cell_;
    Life life_;
    double hours_;
    double capacity_ah_, charge_, offset_a_, gain_, noise_a_, noise_v_;
    double target_v_, float_v_;
    double branch_ = 0, fast_v_ = 0, slow_v_ = 0, volt_ = 13;
    double sunshine_ = 0.6, held_h_ = 0, not_full_h_ = 0, burst_left_h_ = 0;
    bool floating_ = false, shore_ = false;
    long day_ = -1;
    twin::Truth truth_;
    Reading reading_;
};

}  // namespace amphora::bench
