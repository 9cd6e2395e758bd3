// Lithium iron phosphate.
#include "core/battery/chemistry_tables.hpp"

namespace amphora {

CellModel lfp_cell() {
    // Mean of charge and discharge branch at low rate; S. Sunil, K. Pattipati, B. Balasingam, IEEE Trans. Instrum.
    // Meas. 2025 (1.1 Ah cell, C/32), with the graphite staging step near 65 % drawn in as in common practice (from
    // memory).
    static constexpr std::array points{OcvPoint{0.0, 2.45},     OcvPoint{0.0117, 2.80},  OcvPoint{0.0267, 2.95},
                                       OcvPoint{0.0534, 3.095}, OcvPoint{0.0885, 3.19},  OcvPoint{0.15, 3.222},
                                       OcvPoint{0.2, 3.238},    OcvPoint{0.2972, 3.270}, OcvPoint{0.4, 3.286},
                                       OcvPoint{0.6, 3.297},    OcvPoint{0.7, 3.321},    OcvPoint{0.85, 3.334},
                                       OcvPoint{0.95, 3.341},   OcvPoint{0.97, 3.346},   OcvPoint{0.985, 3.360},
                                       OcvPoint{0.995, 3.415},  OcvPoint{1.0, 3.48}};
    CellModel m;
    m.ocv = {.teaches_below = OcvKnowledge::teaches_everywhere,
             .fence = 0.75,
             .curve = OcvCurve(points),
             .knots = {0.12, 0.3, 0.5, 0.7, 0.92},
             .bias_sd = Volt(0.009),
             .shape_sd = Volt(0.008),
             .wander_sd = Volt(0.010),
             .wander_time = Hour(8.0),
             .knee_sd = Fraction(0.014)};
    // 100 Ah prismatic cell 0.3-0.6 mOhm, plus its share of links, protection board and lugs (common practice, no
    // source).
    m.resistance = {.ohmic_ohm_ah = 0.05,
                    .fast_ohm_ah = 0.03,
                    .slow_ohm_ah = 0.04,
                    .spread = 0.8,
                    .fast_time = Second(60.0),
                    .slow_time = Second(2400.0),
                    .activation_k = 2400.0};  // 20 kJ/mol (from memory, 15-35)
    // Loop 20-40 mV wide in the middle of the range (from memory); G. Plett, Battery Management Systems vol. 1,
    // one-state form.
    m.hysteresis = {.amplitude = Volt(0.017), .amplitude_sd = Volt(0.012), .sharpness = 30.0};
    // Coulombic efficiency 0.995-1.0 (Batteries 2019, 5, 57: practically all charge comes back); 2 %/month with
    // electronics.
    m.loss = {.loss = 0.003, .loss_sd = 0.003, .floor = 1.0, .onset = Fraction(0.0), .self_discharge_per_month = 0.015};
    m.tail = {.time = Hour(0.15),
              .spread = 0.7,
              .floor_sd = Fraction(0.004),
              .always_sd = Fraction(0.001),
              .hasty_sd = Fraction(0.015)};
    // Beyond the knee the cells of a pack part company, and the charger holds the voltage.
    m.near_empty = Volt(2.95);
    m.near_empty_charge = Fraction(0.02);
    m.near_empty_sd = Fraction(0.02);
    m.charger_voltage = Volt(3.40);
    m.near_full = Volt(3.41);
    m.near_full_missing = Fraction(0.012);
    m.near_full_sd = Fraction(0.018);
    // The label may err by 2 to 14 % either way; more batteries give less than more (common practice, no source).
    m.capacity_bias = -0.03;
    m.capacity_sd = 0.08;
    return m;
}

}  // namespace amphora
