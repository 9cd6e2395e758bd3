#include "core/estimate/rate_limit.hpp"

#include <algorithm>
#include <limits>

namespace amphora {
namespace {

constexpr double least_rate = 0.25;  // of the capacity per hour

/// Peukert exponents of the trade: absorbed glass mat 1.05-1.15, gel 1.1-1.2, flooded 1.2-1.3 (common practice, no
/// source).
PeukertExponent exponent_of(Chemistry chemistry) {
    switch (chemistry) {
        case Chemistry::gel:
            return PeukertExponent(1.15);
        case Chemistry::flooded:
            return PeukertExponent(1.25);
        default:
            return PeukertExponent(1.10);
    }
}

}  // namespace

RateLimit::RateLimit(const Battery& battery) {
    if (!is_lead_acid(battery.chemistry)) return;
    const auto fit = fit_kinetic_battery({battery.rated_over, battery.design_capacity}, exponent_of(battery.chemistry));
    if (!fit) return;
    battery_.emplace(fit->parameters);
    label_to_wells_ = fit->parameters.capacity / battery.design_capacity;
    wells_ = battery_->levelled(Fraction(0.5));
}

void RateLimit::follow(const Step& step, Fraction state_of_charge) {
    if (!battery_ || step.length_ms == 0) return;
    const Hour hours(std::min(step.hours(), 100.0));
    const Ampere current(step.net_ah() / step.hours());
    wells_ = battery_->after(wells_, current, hours);
    // The wells hold more than the label says, since no discharge takes all of it; the state of charge counts from the
    // label's empty.
    const AmpHour capacity = battery_->parameters().capacity;
    const AmpHour left = capacity - (1.0 - state_of_charge.value()) / label_to_wells_ * capacity;
    const AmpHour error = left - wells_.total();
    const double share = battery_->parameters().available_share.value();
    wells_.available = std::clamp(wells_.available + share * error, AmpHour(0.0), share * capacity);
    wells_.bound = std::clamp(left - wells_.available, AmpHour(0.0), (1.0 - share) * capacity);
}

Hour RateLimit::time_to_empty(Ampere current, AmpHour full_charge_capacity) const {
    // At small currents the effect drowns in the doubt of the label (the open 12 V set shows none between C/6 and
    // C/12).
    if (!battery_ || current > -least_rate * full_charge_capacity / Hour(1.0))
        return Hour(std::numeric_limits<double>::infinity());
    const AmpHour label = (1.0 / label_to_wells_) * battery_->parameters().capacity;
    const double size = label / full_charge_capacity;
    return battery_->time_to_empty(wells_, -current * size);
}

}  // namespace amphora
