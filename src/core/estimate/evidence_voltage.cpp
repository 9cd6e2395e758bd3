// The battery's voltage as evidence. Whether it may be used, and how much it is worth, is decided apart from the
// arithmetic: on a flat plateau, under a changing load, in the cold and after charging a volt tells little, and the
// noise says so.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/estimate/filter.hpp"

namespace amphora {
namespace {

using namespace part;

constexpr double model_errors_last_h =
    6.0;  // a model that is off is off all day: one look counts as one, not as hundreds
constexpr double surface_charge_v =
    0.03;  // per cell, lead-acid after charging, and how it fades (common practice, no source)
constexpr double surface_charge_fades_h = 5.0;

double square(double x) { return x * x; }

/// Between which two knots a state of charge lies, and how the error of the curve is shared between them.
struct Between {
    std::size_t left;
    double share;  // of the right one
    double per_charge;
};

Between between_knots(const std::array<double, OcvKnowledge::knot_count>& knot, double z) {
    if (z <= knot.front()) return {0, 0.0, 0.0};
    if (z >= knot.back()) return {OcvKnowledge::knot_count - 2, 1.0, 0.0};
    std::size_t left = 0;
    while (z >= knot[left + 1]) ++left;
    const double width = knot[left + 1] - knot[left];
    return {left, (z - knot[left]) / width, 1.0 / width};
}

/// The curve seen through a spread of states of charge (statistical linear regression on three points).
struct Sight {
    double volt;
    double slope;
    double bent;  // variance that the straight line leaves
};

Sight look_through(const OcvCurve& curve, double z, double sd) {
    const OcvCurve::Look centre = curve.look(z);
    if (sd < 0.004) return {centre.volt, centre.slope, 0.0};
    const double reach = std::numbers::sqrt3 * sd;
    const double above = curve.look(std::min(z + reach, 1.02)).volt;
    const double below = curve.look(std::max(z - reach, -0.02)).volt;
    const double up = std::min(z + reach, 1.02) - z;
    const double down = z - std::max(z - reach, -0.02);
    const double slope = (above - below) / (up + down);
    const double mean = (above + below) / 6.0 + centre.volt * 2.0 / 3.0;
    const double miss_up = above - mean - slope * up;
    const double miss_down = below - mean + slope * down;
    const double miss_centre = centre.volt - mean;
    return {mean, slope, (square(miss_up) + square(miss_down)) / 6.0 + square(miss_centre) * 2.0 / 3.0};
}

}  // namespace

/// Permission. The errors of a curve, of its hysteresis and of its loads come back day after day the same, and no
/// number of looks averages them away: a look may be used only while less is known than one such look tells. Where the
/// curve is steep, it is its place that is not known.
bool Filter::worth_it(const StateVector& row, double sd_z, double slope) const {
    if (model_.ocv.fence <= 0.0) return slope < 1.0 || sd_z > model_.ocv.knee_sd.value();
    StateVector other = row;
    other[missing] = other[capacity] = other[offset] = 0.0;
    double doubt = dot(other, belief_.covariance.times(other)) + square(model_.ocv.wander_sd.value());
    // The one-state form of the hysteresis is itself off by about half its size.
    doubt += square(0.35 * model_.hysteresis.amplitude.value());
    const double told = std::sqrt(doubt) / std::max(slope, 0.01) + model_.ocv.knee_sd.value();
    return sd_z > model_.ocv.fence * told;
}

void Filter::use_voltage(const Step& step, double current, double around, Trace* trace) {
    const double volt = static_cast<double>(step.voltage_v) / battery_.cells_in_series;
    if (!std::isfinite(volt) || step.unknown_s > 0.0F) return;
    const bool lead_acid = is_lead_acid(battery_.chemistry);
    const Excitation& e = belief_.excitation;
    const double c_rate = current / label_ah_;
    if (c_rate > -0.002 && volt > model_.charger_voltage.value()) return;
    if (lead_acid && (c_rate > 0.001 || e.since_charge_h < 0.3)) return;
    if (volt < 0.3 * model_.near_empty.value()) return;

    const StateVector& x = belief_.mean;
    const StateCovariance& p = belief_.covariance;
    const double celsius = std::isfinite(step.temperature_c) ? static_cast<double>(step.temperature_c) : 20.0;
    const double warmth = std::exp(model_.resistance.activation_k * (1.0 / (celsius + 273.15) - 1.0 / 298.15));
    const double ohmic_v = warmth * model_.resistance.ohmic_ohm_ah * resistance_scale_ * current;
    const double fast_v = warmth * model_.resistance.fast_ohm_ah * resistance_scale_ * e.fast_mean_a;
    const double slow_v = warmth * model_.resistance.slow_ohm_ah * resistance_scale_ * e.slow_mean_a;
    const double hours = std::max(step.hours(), 1e-4);
    const double correlation = std::max(1.0, model_errors_last_h / hours);  // model errors keep for about an hour

    const double unloaded = volt - x[ohmic] * ohmic_v - x[fast] * fast_v - x[slow] * slow_v;
    if (unloaded < model_.near_empty.value()) {
        use_near_empty(trace);
        return;
    }
    // A charger pushes the voltage of a cold battery with poor joints over the knee long before it is full.
    const double load_doubt_v = std::sqrt(square(ohmic_v) * p.at(ohmic, ohmic) + square(fast_v) * p.at(fast, fast) +
                                          square(slow_v) * p.at(slow, slow));
    if (model_.near_full > Volt(0.0) && unloaded - 2.0 * load_doubt_v > model_.near_full.value()) {
        use_near_full(c_rate, trace);
        return;
    }

    // How far the model may be off here.
    const double load_share = lead_acid && c_rate > 0.0 ? 0.5 : 0.2;
    const double load_v = std::abs(x[ohmic] * ohmic_v) + std::abs(x[fast] * fast_v) + std::abs(x[slow] * slow_v);
    const double spread_v =
        model_.resistance.ohmic_ohm_ah * resistance_scale_ * static_cast<double>(step.current_spread_a) * warmth;
    const double surface_v = lead_acid ? surface_charge_v * std::exp(-e.since_charge_h / surface_charge_fades_h) : 0.0;
    const double cold_v = std::isfinite(step.temperature_c) ? 0.0 : 0.1 * load_v;
    const double steady = square(0.002) + square(0.3 * spread_v);
    const double model_error = square(load_share * load_v) * 0.2 + square(surface_v) + square(cold_v);

    const double scale = std::exp(-x[capacity]);
    const double z_predicted = 1.0 - x[missing] * scale;
    const double var_z = square(scale) * p.at(missing, missing) -
                         2.0 * scale * (1.0 - z_predicted) * p.at(missing, capacity) +
                         square(1.0 - z_predicted) * p.at(capacity, capacity);
    double z = std::isfinite(around) ? around : std::clamp(z_predicted, -0.02, 1.02);
    double sd = std::isfinite(around) ? 0.01 : std::sqrt(std::max(var_z, 0.0));
    const int rounds = std::isfinite(around) || sd < 0.01 ? 1 : 3;

    StateVector row{};
    double innovation = 0.0;
    double noise = 0.0;
    for (int round = 0; round < rounds; ++round) {
        const Sight sight = look_through(model_.ocv.curve, z, sd);
        const Between knot = between_knots(model_.ocv.knots, z);
        const double bias_left = x[bias + knot.left];
        const double bias_right = x[bias + knot.left + 1];
        const double error = bias_left + knot.share * (bias_right - bias_left);
        const double slope = std::max(0.0, sight.slope + (bias_right - bias_left) * knot.per_charge);
        const double sideways = slope * model_.ocv.knee_sd.value();
        const bool teaches = z_predicted < model_.ocv.teaches_below.value();
        row = {};
        row[missing] = -scale * slope;
        row[capacity] = teaches ? (1.0 - z_predicted) * slope : 0.0;
        row[offset] = -warmth * resistance_scale_ * model_.resistance.ohmic_ohm_ah * x[ohmic];
        row[hysteresis] = e.branch;
        row[ohmic] = ohmic_v;
        row[fast] = fast_v;
        row[slow] = slow_v;
        row[bias + knot.left] = 1.0 - knot.share;
        row[bias + knot.left + 1] = knot.share;
        row[wander] = 1.0;
        const double predicted = sight.volt + slope * (z_predicted - z) + error + x[hysteresis] * e.branch +
                                 x[ohmic] * ohmic_v + x[fast] * fast_v + x[slow] * slow_v + x[wander];
        innovation = volt - predicted;
        const double by_capacity = teaches ? 0.0 : slope * slope * square(1.0 - z_predicted) * p.at(capacity, capacity);
        noise = steady + by_capacity * correlation + sight.bent + square(sideways) + model_error * correlation;
        if (round + 1 == rounds && !worth_it(row, std::sqrt(std::max(var_z, 0.0)), slope)) {
            if (!lead_acid) return;
            // The charge is known better than this look could tell: it is the curve and the resistances that are
            // learned.
            row[missing] = row[capacity] = row[offset] = 0.0;
            noise += square(slope) * var_z * correlation;
        }
        const double variance = dot(row, p.times(row)) + noise;
        if (round + 1 < rounds) {
            const double covariance =
                -scale * dot(p.row[missing], row) + (1.0 - z_predicted) * dot(p.row[capacity], row);
            z = std::clamp(z_predicted + covariance / variance * innovation, -0.02, 1.02);
            sd = std::sqrt(std::max(var_z - square(covariance) / variance, 1e-8));
        } else if (square(innovation) > 9.0 * variance) {
            // A surprise: something is going on that the model does not know. It is laid to the wandering error.
            belief_.covariance.at(wander, wander) += 0.25 * square(innovation);
        }
    }
    apply(row, innovation, noise, trace);
}

}  // namespace amphora
