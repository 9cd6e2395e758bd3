// The battery's voltage as evidence. Whether it may be used, and how much it is worth, is decided apart from the
// arithmetic: on a flat plateau, under a changing load, in the cold and after charging a volt tells little, and the
// noise says so.
#include <algorithm>
#include <cmath>

#include "core/estimate/filter.hpp"

namespace amphora {
namespace {

using namespace part;

double square(double x) { return x * x; }

struct Knots {
    double low, mid, high;  // weights of the curve's error at its three knots
    double slope_low, slope_mid, slope_high;
};

Knots knots_at(const std::array<double, 3>& at, double z) {
    if (z <= at[0]) return {1, 0, 0, 0, 0, 0};
    if (z >= at[2]) return {0, 0, 1, 0, 0, 0};
    if (z < at[1]) {
        const double width = at[1] - at[0];
        const double share = (z - at[0]) / width;
        return {1 - share, share, 0, -1 / width, 1 / width, 0};
    }
    const double width = at[2] - at[1];
    const double share = (z - at[1]) / width;
    return {0, 1 - share, share, 0, -1 / width, 1 / width};
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
    const double reach = std::sqrt(3.0) * sd;
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

void Filter::use_voltage(const Step& step, double current, double around, Trace* trace) {
    const double volt = static_cast<double>(step.voltage_v) / battery_.cells_in_series;
    if (!std::isfinite(volt) || step.unknown_s > 0.0F) return;
    const bool lead_acid = is_lead_acid(battery_.chemistry);
    const Excitation& e = belief_.excitation;
    const double c_rate = current / label_ah_;
    if (lead_acid && c_rate > 0.002 && volt > model_.gassing.value() - 0.07) return;
    if (volt < 0.3 * model_.end_of_discharge.value()) return;

    const StateVector& x = belief_.mean;
    const StateCovariance& p = belief_.covariance;
    const double celsius = std::isfinite(step.temperature_c) ? static_cast<double>(step.temperature_c) : 20.0;
    const double warmth = std::exp(model_.resistance.activation_k * (1.0 / (celsius + 273.15) - 1.0 / 298.15));
    const double ohmic_v = warmth * model_.resistance.ohmic_ohm_ah * resistance_scale_ * current;
    const double fast_v = warmth * model_.resistance.fast_ohm_ah * resistance_scale_ * e.fast_mean_a;
    const double slow_v = warmth * model_.resistance.slow_ohm_ah * resistance_scale_ * e.slow_mean_a;
    const double hours = std::max(step.hours(), 1e-4);
    const double correlation = std::max(1.0, 1.0 / hours);  // model errors keep for about an hour

    // How far the model may be off here.
    const double load_share = lead_acid && c_rate > 0.0 ? 0.5 : 0.2;
    const double load_v = std::abs(x[ohmic] * ohmic_v) + std::abs(x[fast] * fast_v) + std::abs(x[slow] * slow_v);
    const double spread_v =
        model_.resistance.ohmic_ohm_ah * resistance_scale_ * static_cast<double>(step.current_spread_a) * warmth;
    const double surface_v = lead_acid ? 0.02 * std::exp(-e.since_charge_h / 2.0) : 0.0;
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
        const Knots w = knots_at(model_.ocv.knots, z);
        const double bias = w.low * x[bias_low] + w.mid * x[bias_mid] + w.high * x[bias_high];
        const double slope = std::max(
            0.0, sight.slope + w.slope_low * x[bias_low] + w.slope_mid * x[bias_mid] + w.slope_high * x[bias_high]);
        row = {};
        row[missing] = -scale * slope;
        row[capacity] = (1.0 - z_predicted) * slope;
        row[offset] = -warmth * resistance_scale_ * model_.resistance.ohmic_ohm_ah * x[ohmic];
        row[hysteresis] = e.branch;
        row[ohmic] = ohmic_v;
        row[fast] = fast_v;
        row[slow] = slow_v;
        row[bias_low] = w.low;
        row[bias_mid] = w.mid;
        row[bias_high] = w.high;
        row[wander] = 1.0;
        const double predicted = sight.volt + slope * (z_predicted - z) + bias + x[hysteresis] * e.branch +
                                 x[ohmic] * ohmic_v + x[fast] * fast_v + x[slow] * slow_v + x[wander];
        innovation = volt - predicted;
        noise = steady + sight.bent + (model_error + square(slope * model_.ocv.knee_sd.value())) * correlation;
        const double variance = dot(row, p.times(row)) + noise;
        if (round + 1 < rounds) {
            const double covariance =
                -scale * dot(p.row[missing], row) + (1.0 - z_predicted) * dot(p.row[capacity], row);
            z = std::clamp(z_predicted + covariance / variance * innovation, -0.02, 1.02);
            sd = std::sqrt(std::max(var_z - square(covariance) / variance, 1e-8));
        } else if (square(innovation) > 9.0 * variance) {
            noise += square(innovation) / 9.0 - variance;  // a surprise is worth less than the model says
        }
    }
    apply(row, innovation, noise, trace);
}

}  // namespace amphora
