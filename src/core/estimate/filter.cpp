#include "core/estimate/filter.hpp"

#include <algorithm>
#include <cmath>

namespace amphora {
namespace {

using namespace part;

constexpr double surface_charge_v = 0.02;  // per cell, lead-acid after charging (common practice, no source)

double square(double x) { return x * x; }

/// How far meters read beside zero: 0.03 % of the rated current of the shunt (common practice, no source), where that
/// is known.
double offset_sd(const System& system) {
    const double label = system.battery.design_capacity.value();
    const bool rated = !system.meters.empty() && system.meters.front().rated_current.known();
    return rated ? std::max(0.0003 * system.meters.front().rated_current.value(), 0.0002 * label)
                 : 0.0005 * label + (label > 20.0 ? 0.04 : 0.0);
}

Belief prior(const System& system, const CellModel& model) {
    Belief belief;
    auto set = [&](std::size_t k, double mean, double sd) {
        belief.mean[k] = mean;
        belief.covariance.at(k, k) = sd * sd;
    };
    set(missing, 0.45, 0.32);
    set(offset, 0.0, offset_sd(system));
    set(capacity, model.capacity_bias, model.capacity_sd);
    set(loss, model.loss.loss, model.loss.loss_sd);
    set(hysteresis, model.hysteresis.amplitude.value(), model.hysteresis.amplitude_sd.value());
    set(ohmic, 1.0, model.resistance.spread);
    set(fast, 1.0, model.resistance.spread);
    set(slow, 1.0, model.resistance.spread);
    constexpr std::size_t knots = OcvKnowledge::knot_count;
    for (std::size_t a = 0; a < knots; ++a)
        for (std::size_t b = 0; b < knots; ++b)
            belief.covariance.at(bias + a, bias + b) =
                square(model.ocv.bias_sd.value()) + (a == b ? square(model.ocv.shape_sd.value()) : 0.0);
    // What flowed before the first reading nobody knows, nor how far the voltage is still from rest.
    set(wander, 0.0, 3.0 * model.ocv.wander_sd.value());
    return belief;
}

struct LossLook {
    double part;     // of the charge put in that is lost
    double slope;    // of that, per unit of state of charge
    double by_loss;  // of that, per unit of the loss parameter
};

LossLook look_loss(const LossKnowledge& knowledge, double loss, double z) {
    const double onset = knowledge.onset.value();
    const double floor = knowledge.floor;
    const double rise = std::clamp((z - onset) / (1.0 - onset), 0.0, 1.0);
    const double shape = floor + (1.0 - floor) * rise;
    const double shape_slope = z > onset && z < 1.0 ? (1.0 - floor) / (1.0 - onset) : 0.0;
    const double kept = 1.0 - loss * shape;
    const double top = knowledge.top.value();
    if (top <= 0.0 || z < 1.0 - top) return {1.0 - kept, loss * shape_slope, shape};
    const double taken = std::max(1.0 - z, 0.0) / top;  // acceptance fades towards full
    return {1.0 - kept * taken, loss * shape_slope * taken + kept / top, shape * taken};
}

/// First-order lag over a step of `spans` time constants at steady current: its end value and its mean over the step.
void lag(double& end, double& mean, double current, double spans) {
    const double keep = std::exp(-spans);
    mean = spans > 1e-9 ? current + (end - current) * (1.0 - keep) / spans : end;
    end = keep * end + (1.0 - keep) * current;
}

}  // namespace

Filter::Filter(const System& system)
    : battery_(system.battery),
      model_(cell_model(system.battery)),
      label_ah_(system.battery.design_capacity.value()),
      resistance_scale_(1.0 / system.battery.design_capacity.value()),
      belief_(prior(system, model_)) {}

Uncertain<Fraction> Filter::state_of_charge(const StateVector& mean, double var_missing, double cov,
                                            double var_capacity) {
    const double scale = std::exp(-mean[capacity]);
    const double share = std::clamp(mean[missing] * scale, 0.0, 1.0);
    const double variance = scale * scale * var_missing - 2.0 * scale * share * cov + share * share * var_capacity;
    return {Fraction(std::clamp(1.0 - share, 0.0, 1.0)), Fraction(std::sqrt(std::max(variance, 1e-8)))};
}

Uncertain<Fraction> Filter::state_of_charge() const {
    const StateCovariance& p = belief_.covariance;
    Uncertain<Fraction> result =
        state_of_charge(belief_.mean, p.at(missing, missing), p.at(missing, capacity), p.at(capacity, capacity));
    result.sd = Fraction(std::hypot(result.sd.value(), model_.tail.always_sd.value()));
    return result;
}

void Filter::advance(const Step& step, double around, Trace* trace) {
    Transition transition;
    predict(step, around, transition);
    if (trace != nullptr) {
        trace->transition = transition;
        trace->used_count = 0;
    }
    const double known_h = step.hours() - static_cast<double>(step.unknown_s) / seconds_per_hour;
    const double measured = known_h > 1e-9 ? step.net_ah() / step.hours() : 0.0;
    const double current = measured - belief_.mean[offset];
    note_currents(step, current);
    use_voltage(step, current, around, trace);
    use_full(step, trace);
    use_bounds(current);
}

void Filter::predict(const Step& step, double around, Transition& t) {
    StateVector& x = belief_.mean;
    StateCovariance& p = belief_.covariance;
    const double hours = step.hours();
    const double scale = std::exp(-x[capacity]);
    const double z = std::isfinite(around) ? around : 1.0 - x[missing] * scale;

    // Offset is shared out over charge and discharge by the sign of the mean current.
    const double net = step.net_ah() - x[offset] * hours;
    const bool charging = net > 0.0;
    const double in = charging ? net + static_cast<double>(step.charge_out_ah) : static_cast<double>(step.charge_in_ah);
    const LossLook look = look_loss(model_.loss, std::clamp(x[loss], 0.0, 1.0), std::min(z, 1.0));
    const double z_own = std::min(1.0 - x[missing] * scale, 1.0);
    const double lost_part = std::clamp(look.part + look.slope * (z_own - z), 0.0, 1.0);
    const double lost = in * lost_part;
    const double leak = model_.loss.self_discharge_per_month / 730.5 * hours;

    t.missing_missing = charging ? std::max(0.0, 1.0 - in / label_ah_ * look.slope * scale) : 1.0;
    t.missing_offset = (charging ? 1.0 - lost_part : 1.0) * hours / label_ah_;
    t.missing_loss = in * look.by_loss / label_ah_;
    const bool leaves_charge = is_lead_acid(battery_.chemistry) && !charging && belief_.excitation.charging_h > 0.25;
    const double decay = leaves_charge ? 0.0 : std::exp(-hours / model_.ocv.wander_time.value());
    t.wander = decay;

    x[missing] += -(net - lost) / label_ah_ + leak;
    x[wander] *= decay;
    // A gap of years or a meter gone mad takes the count far past both ends; the bounds bring back only what is near.
    x[missing] = std::clamp(x[missing], -0.3, std::exp(x[capacity]) + 0.3);

    // P <- F P F' + Q, for the two rows in which F is not the identity.
    StateVector row{};
    for (std::size_t k = 0; k < count; ++k)
        row[k] =
            t.missing_missing * p.at(missing, k) + t.missing_offset * p.at(offset, k) + t.missing_loss * p.at(loss, k);
    const double corner =
        t.missing_missing * row[missing] + t.missing_offset * row[offset] + t.missing_loss * row[loss];
    for (std::size_t k = 0; k < count; ++k) p.at(missing, k) = p.at(k, missing) = row[k];
    p.at(missing, missing) = corner;
    for (std::size_t k = 0; k < count; ++k) {
        p.at(wander, k) *= decay;
        p.at(k, wander) *= decay;
    }

    const double moved = static_cast<double>(step.charge_in_ah) + static_cast<double>(step.charge_out_ah);
    // What is lost near full errs the same way all day.
    const double together = std::max(1.0, 24.0 / std::max(hours, 1e-4));
    const double counting = square(0.0002) * hours + square(model_.loss.day_sd * lost / label_ah_) * together +
                            square(0.004) * moved / label_ah_ * 0.02 +
                            static_cast<double>(step.unknown_var) / square(label_ah_);
    p.at(missing, missing) += counting;
    p.at(offset, offset) += square(0.00001 * label_ah_) * hours / 24.0;
    p.at(capacity, capacity) =
        std::max(p.at(capacity, capacity) + square(0.001) * hours / 720.0, square(model_.capacity_floor_sd));
    p.at(loss, loss) += square(0.02) * hours / 720.0;
    p.at(ohmic, ohmic) += square(0.05) * hours / 24.0;
    p.at(fast, fast) += square(0.05) * hours / 24.0;
    p.at(slow, slow) += square(0.1) * hours / 24.0;
    p.at(wander, wander) += square(model_.ocv.wander_sd.value()) * (1.0 - decay * decay);
    // Not knowing has an end, however long the gap.
    const double kept = bound_doubt(missing, 0.35);
    t.missing_missing *= kept;
    t.missing_offset *= kept;
    t.missing_loss *= kept;
    bound_doubt(offset, 0.0015 * label_ah_);
    bound_doubt(capacity, 0.3);
    bound_doubt(loss, 0.5);
    for (const std::size_t k : {ohmic, fast, slow}) bound_doubt(k, 2.0);
    if (leaves_charge) {  // a surface charge is left on the plates, of a size nobody knows
        x[wander] = surface_charge_v;
        p.at(wander, wander) += square(surface_charge_v);
    }
}

/// Holds the standard deviation of one quantity at `most` or below. Its correlations shrink along: a variance cut alone
/// would leave a matrix that is no covariance. Returns the factor.
double Filter::bound_doubt(std::size_t k, double most) {
    StateCovariance& p = belief_.covariance;
    if (p.at(k, k) <= most * most) return 1.0;
    const double shrink = most / std::sqrt(p.at(k, k));
    for (std::size_t j = 0; j < count; ++j) {
        p.at(k, j) *= shrink;
        p.at(j, k) *= shrink;
    }
    return shrink;
}

void Filter::note_currents(const Step& step, double current) {
    Excitation& e = belief_.excitation;
    const double seconds = step.hours() * seconds_per_hour;
    lag(e.fast_a, e.fast_mean_a, current, seconds / model_.resistance.fast_time.value());
    lag(e.slow_a, e.slow_mean_a, current, seconds / model_.resistance.slow_time.value());
    const double travelled = std::abs(current) * step.hours() / label_ah_ * model_.hysteresis.sharpness;
    const double keep = std::exp(-travelled);
    e.branch = keep * e.branch + (1.0 - keep) * (current > 0.0 ? 1.0 : -1.0);
    const bool resting = std::abs(current) < 0.004 * label_ah_;
    e.rested_h = resting ? e.rested_h + step.hours() : 0.0;
    const bool charging = current > 0.01 * label_ah_;
    e.charging_h = charging ? e.charging_h + step.hours() : 0.0;
    e.since_charge_h = charging ? 0.0 : e.since_charge_h + step.hours();
}

void Filter::apply(const StateVector& row, double innovation, double noise, Trace* trace) {
    StateCovariance& p = belief_.covariance;
    StateVector ph = p.times(row);
    const double variance = dot(row, ph) + noise;
    if (!(variance > noise) || !std::isfinite(innovation)) return;  // nothing to learn, or no number
    StateVector gain{};
    for (std::size_t k = 0; k < count; ++k) gain[k] = ph[k] / variance;
    for (std::size_t k = 0; k < count; ++k) belief_.mean[k] += gain[k] * innovation;
    p.add_outer(ph, -1.0 / variance);
    for (std::size_t k = 0; k < count; ++k) {
        if (p.at(k, k) >= 1e-14) continue;  // rounding: nothing is correlated with what is known exactly
        for (std::size_t j = 0; j < count; ++j) p.at(k, j) = p.at(j, k) = 0.0;
        p.at(k, k) = 1e-14;
    }
    belief_.mean[capacity] = std::clamp(belief_.mean[capacity], -0.6, 0.25);
    belief_.mean[offset] = std::clamp(belief_.mean[offset], -0.002 * label_ah_, 0.002 * label_ah_);
    for (const std::size_t k : {ohmic, fast, slow}) belief_.mean[k] = std::max(belief_.mean[k], 0.05);
    for (const std::size_t k : {hysteresis, loss}) belief_.mean[k] = std::max(belief_.mean[k], 0.0);
    if (trace != nullptr && trace->used_count < 3)
        trace->used[static_cast<std::size_t>(trace->used_count++)] = {row, gain, innovation, variance};
}

}  // namespace amphora
