#include "twin/bank.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace amphora::twin {

Bank::Bank(const BankSpec& spec, Fraction state_of_charge, Second step)
    : spec_(spec),
      capacity_(spec.capacity.value()),
      step_hours_(to_hours(step).value()),
      charge_(state_of_charge.value()),
      available_(charge_),
      hysteresis_(spec.hysteresis, charge_, 0),
      reluctance_keep_(std::exp(-step / spec.acceptance_lag)),
      gas_steepness_(std::numbers::ln10 / spec.gassing_decade.value()) {
    for (std::size_t k = 0; k < spec_.relaxation_count; ++k) keep_[k] = std::exp(-step / spec_.relaxations[k].tau);
    set_temperature(Celsius(20));
    terminal_ = resting_;
}

void Bank::set_temperature(Celsius temperature) {
    const double kelvin = to_kelvin(temperature).value();
    cold_ = std::exp(spec_.activation * (1 / kelvin - 1 / 298.15));
    rest_shift_ = spec_.rest_per_kelvin.value() * (temperature.value() - 25);
    leak_ = spec_.self_discharge * std::exp2((temperature.value() - 20) / 10) * step_hours_;
    // Tafel's law: the current of a side reaction is exponential in the voltage; it doubles per 10 K or so.
    gas_factor_ = spec_.gassing * std::exp2((temperature.value() - 25) / 10);
    fast_ = 0;
    for (std::size_t k = 0; k < spec_.relaxation_count; ++k) {
        resistance_[k] = spec_.relaxations[k].resistance * cold_;
        fast_ += resistance_[k] * (1 - keep_[k]);
    }
    prepare();
}

void Bank::prepare() {
    const auto point = spec_.rest.at(available_);
    resting_ = point.voltage + rest_shift_ + bent_ + surface_ + reluctance_ * reluctance_keep_;
    for (std::size_t k = 0; k < spec_.relaxation_count; ++k) resting_ += over_[k] * keep_[k];
    const double emptiness = std::max(0.0, 1 - charge_ / 0.15);
    ohmic_now_ = spec_.ohmic * cold_ * (1 + spec_.growth_empty * emptiness * emptiness);
    accepting_ = spec_.acceptance * spec_.acceptance_knee / (1 + spec_.acceptance_knee - charge_);
    charging_slope_ = ohmic_now_ + accepting_ * (1 - reluctance_keep_) + fast_ + point.slope * step_hours_;
}

double Bank::gassed(double rate) const {
    // The cell voltage at which storing and gassing together take this current; Newton's method on a convex function,
    // started where all of it would be stored, comes down to the root without passing it.
    double cell = std::min(resting_ + rate * charging_slope_, 2.9);
    double gas = 0;
    for (int round = 0; round < 12; ++round) {
        gas = gassing(cell);
        const double excess = (cell - resting_) / charging_slope_ + gas - rate;
        if (std::abs(excess) < 1e-3 * rate) break;
        cell -= excess / (1 / charging_slope_ + gas * gas_steepness_);
    }
    return std::min(rate, gas);
}

Volt Bank::step(Ampere current) {
    const double rate = current.value() / capacity_;
    const double before = charge_;
    double main = rate;
    if (rate > 0) {
        if (gas_factor_ > 0) main -= gassed(rate);
        const double past = std::max(0.0, (charge_ - spec_.efficiency_knee) / (1 - spec_.efficiency_knee));
        const double share = spec_.efficiency + (spec_.efficiency_full - spec_.efficiency) * past;
        charge_ += main * share * step_hours_;
    } else {
        charge_ += main * step_hours_;
    }
    charge_ = std::clamp(charge_ - leak_, 0.0, 1.0);
    stored_ += charge_ - before;
    if (spec_.available_share < 1) {
        // Manwell and McGowan's wells in levels: what flows in or out meets the small well; the levels then even out.
        const double c = spec_.available_share;
        available_ += (charge_ - before) / c;
        available_ += (charge_ - available_) * std::min(1.0, spec_.well_rate * step_hours_);
        available_ = std::clamp(available_, 0.0, 1.0);
    } else {
        available_ = charge_;
    }

    // The voltage at the end of the step, with this current still flowing.
    if (spec_.chemistry == Chemistry::lfp) bent_ = hysteresis_.move(before, charge_);
    for (std::size_t k = 0; k < spec_.relaxation_count; ++k)
        over_[k] = over_[k] * keep_[k] + main * resistance_[k] * (1 - keep_[k]);
    double relaxed = 0;
    for (std::size_t k = 0; k < spec_.relaxation_count; ++k) relaxed += over_[k];
    reluctance_ = reluctance_ * reluctance_keep_ + std::max(0.0, main) * accepting_ * (1 - reluctance_keep_);
    const double rest = spec_.rest.at(available_).voltage + rest_shift_;
    terminal_ = rest + bent_ + surface_ + relaxed + reluctance_ + main * ohmic_now_;
    if (spec_.surface_share > 0) {
        if (main > 0) {
            const double goal = spec_.surface_share * std::clamp(terminal_ - rest, 0.0, 0.4);
            surface_ += (goal - surface_) * step_hours_ * 3600 / spec_.surface_rise.value();
        } else {
            surface_ *= std::max(0.0, 1 - step_hours_ * 3600 / spec_.surface_decay.value() + main * step_hours_ * 60);
        }
    }
    prepare();
    return voltage();
}

}  // namespace amphora::twin
