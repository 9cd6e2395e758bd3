// Lithium ion with sloping curves: nickel-manganese-cobalt, nickel-cobalt-aluminium, lithium titanate.
#include "core/battery/chemistry_tables.hpp"

namespace amphora {
namespace {

CellModel common(const OcvCurve& curve) {
    CellModel m;
    m.ocv = {.teaches_below = OcvKnowledge::teaches_everywhere,
             .curve = curve,
             .knots = {0.1, 0.3, 0.5, 0.7, 0.9},
             .bias_sd = Volt(0.020),
             .shape_sd = Volt(0.015),
             .wander_sd = Volt(0.006),
             .wander_time = Hour(3.0),
             .knee_sd = Fraction(0.015)};
    // 18650 cells 30-70 mOhm at 2.5-3 Ah (from memory); larger cells in proportion.
    m.resistance = {.ohmic_ohm_ah = 0.10,
                    .fast_ohm_ah = 0.04,
                    .slow_ohm_ah = 0.05,
                    .spread = 1.2,
                    .fast_time = Second(60.0),
                    .slow_time = Second(1500.0),
                    .activation_k = 2400.0};
    m.hysteresis = {.amplitude = Volt(0.004), .amplitude_sd = Volt(0.004), .sharpness = 30.0};
    m.loss = {.loss = 0.002, .loss_sd = 0.002, .floor = 1.0, .onset = Fraction(0.0), .self_discharge_per_month = 0.02};
    m.tail = {.time = Hour(0.25),
              .spread = 0.6,
              .floor_sd = Fraction(0.005),
              .always_sd = Fraction(0.005),
              .hasty_sd = Fraction(0.008)};
    m.near_empty = Volt(2.9);
    m.near_empty_charge = Fraction(0.01);
    m.near_empty_sd = Fraction(0.015);
    m.charger_voltage = Volt(4.5);
    m.capacity_bias = 0.0;
    m.capacity_sd = 0.10;
    return m;
}

}  // namespace

CellModel nmc_cell() {
    // Typical pseudo-OCV of an 18650 cell of this kind (from memory, +-20 mV).
    static constexpr std::array points{OcvPoint{0.0, 2.9},  OcvPoint{0.03, 3.25}, OcvPoint{0.1, 3.45},
                                       OcvPoint{0.2, 3.56}, OcvPoint{0.3, 3.61},  OcvPoint{0.4, 3.65},
                                       OcvPoint{0.5, 3.70}, OcvPoint{0.6, 3.79},  OcvPoint{0.7, 3.88},
                                       OcvPoint{0.8, 3.98}, OcvPoint{0.9, 4.07},  OcvPoint{1.0, 4.18}};
    return common(OcvCurve(points));
}

CellModel nca_cell() {
    // As above for the aluminium kind (from memory, +-20 mV).
    static constexpr std::array points{OcvPoint{0.0, 2.8},  OcvPoint{0.03, 3.15}, OcvPoint{0.1, 3.38},
                                       OcvPoint{0.2, 3.50}, OcvPoint{0.3, 3.58},  OcvPoint{0.4, 3.64},
                                       OcvPoint{0.5, 3.70}, OcvPoint{0.6, 3.79},  OcvPoint{0.7, 3.88},
                                       OcvPoint{0.8, 3.96}, OcvPoint{0.9, 4.05},  OcvPoint{1.0, 4.17}};
    return common(OcvCurve(points));
}

CellModel lto_cell() {
    // Titanate against a layered oxide (from memory, +-30 mV).
    static constexpr std::array points{OcvPoint{0.0, 1.8},  OcvPoint{0.05, 2.08}, OcvPoint{0.2, 2.17},
                                       OcvPoint{0.4, 2.22}, OcvPoint{0.6, 2.29},  OcvPoint{0.8, 2.41},
                                       OcvPoint{0.9, 2.49}, OcvPoint{1.0, 2.65}};
    CellModel m = common(OcvCurve(points));
    m.near_empty = Volt(1.8);
    m.charger_voltage = Volt(3.0);
    return m;
}

}  // namespace amphora
