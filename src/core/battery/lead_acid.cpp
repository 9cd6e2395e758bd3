// Lead-acid: absorbed glass mat, gel, flooded. Two volts a cell, losses that rise towards full, slow diffusion.
#include "core/battery/chemistry_tables.hpp"

namespace amphora {
namespace {

CellModel common(const OcvCurve& curve) {
    CellModel m;
    m.ocv = {.teaches_below = Fraction(0.4),
             .fence = 0.0,
             .curve = curve,
             .knots = {0.1, 0.3, 0.5, 0.75, 0.95},
             .bias_sd = Volt(0.012),
             .shape_sd = Volt(0.010),
             .wander_sd = Volt(0.008),
             .wander_time = Hour(3.0),
             .knee_sd = Fraction(0.02)};
    // 12 V 100 Ah block 3-6 mOhm, slow part by diffusion of acid (from memory; common practice, no source).
    m.resistance = {.ohmic_ohm_ah = 0.08,
                    .fast_ohm_ah = 0.05,
                    .slow_ohm_ah = 0.15,
                    .spread = 0.6,
                    .fast_time = Second(90.0),
                    .slow_time = Second(3600.0),
                    .activation_k = 1200.0};  // 10 kJ/mol (from memory, 5-15)
    m.hysteresis = {.amplitude = Volt(0.0), .amplitude_sd = Volt(0.0), .sharpness = 30.0};
    m.tail = {.time = Hour(1.0),
              .spread = 0.7,
              .floor_sd = Fraction(0.005),
              .always_sd = Fraction(0.003),
              .hasty_sd = Fraction(0.04)};
    m.near_empty = Volt(1.80);
    m.near_empty_charge = Fraction(0.03);
    m.near_empty_sd = Fraction(0.05);
    m.charger_voltage = Volt(2.18);
    // The label may err by 2 to 14 % either way; more batteries give less than more (common practice, no source).
    m.capacity_bias = -0.03;
    m.capacity_sd = 0.085;
    m.capacity_floor_sd = 0.03;  // it comes and goes with warmth, rate and history
    return m;
}

}  // namespace

CellModel agm_cell() {
    // Rest voltage of 12 V absorbed-glass-mat blocks as owners' manuals print it: 12.8-13.2 full, 12.3 half, 12.0 a
    // quarter, and, lower down, the handbook table of flooded blocks (12.65/12.45/12.24/12.06/11.89).
    static constexpr std::array points{OcvPoint{0.0, 1.945}, OcvPoint{0.25, 2.010}, OcvPoint{0.5, 2.058},
                                       OcvPoint{0.75, 2.100}, OcvPoint{1.0, 2.145}};
    CellModel m = common(OcvCurve(points));
    m.loss = {.loss = 0.22,
              .loss_sd = 0.15,
              .floor = 0.12,
              .onset = Fraction(0.7),
              .top = Fraction(0.015),
              .self_discharge_per_month = 0.02};
    return m;
}

CellModel gel_cell() {
    // 12.85/12.65/12.35/12.00/11.80 V = 100/75/50/25/0 % (from memory, fairly sure).
    static constexpr std::array points{OcvPoint{0.0, 1.967}, OcvPoint{0.25, 2.005}, OcvPoint{0.5, 2.055},
                                       OcvPoint{0.75, 2.105}, OcvPoint{1.0, 2.142}};
    CellModel m = common(OcvCurve(points));
    m.loss = {.loss = 0.22,
              .loss_sd = 0.15,
              .floor = 0.12,
              .onset = Fraction(0.7),
              .top = Fraction(0.015),
              .self_discharge_per_month = 0.02};
    return m;
}

CellModel flooded_cell() {
    // 12.65/12.45/12.24/12.06/11.89 V = 100/75/50/25/0 % at 26.7 C, rested: Battery Council International style table.
    static constexpr std::array points{OcvPoint{0.0, 1.982}, OcvPoint{0.25, 2.010}, OcvPoint{0.5, 2.040},
                                       OcvPoint{0.75, 2.075}, OcvPoint{1.0, 2.108}};
    CellModel m = common(OcvCurve(points));
    // J. Stevens, G. Corey (Sandia, IEEE PVSC 1996): above 95 % at low states of charge, falling towards full.
    m.loss = {.loss = 0.5,
              .loss_sd = 0.2,
              .day_sd = 0.2,
              .floor = 0.08,
              .onset = Fraction(0.72),
              .top = Fraction(0.02),
              .self_discharge_per_month = 0.06};
    return m;
}

}  // namespace amphora
