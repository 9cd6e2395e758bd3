#include "core/meter/error_budget.hpp"

#include <cmath>
#include <limits>

namespace amphora {
namespace {

Hour interval(const MeterErrors& meter) { return to_hours(meter.interval); }

}  // namespace

AmpHour ChargeError::total() const {
    return AmpHour(std::hypot(std::hypot(offset.value(), gain.value(), noise.value()),
                              std::hypot(offset_walk.value(), clock.value())));
}

ChargeError charge_error(const MeterErrors& meter, const CountedSpan& counted) {
    const double t = counted.elapsed.value();
    return {
        .offset = meter.offset * counted.elapsed,
        .gain = meter.gain * AmpHour(std::abs(counted.net.value())),
        .noise = AmpHour(meter.noise.value() * std::sqrt(t * interval(meter).value())),
        .offset_walk = AmpHour(meter.offset_walk.value() * t * std::sqrt(t / 3)),
        .clock = meter.clock * counted.throughput,
    };
}

Fraction state_of_charge_error(const ChargeError& error, AmpHour net, Uncertain<AmpHour> capacity) {
    const double counted = error.total() / capacity.mean;
    const double by_capacity = (net / capacity.mean) * (capacity.sd / capacity.mean);
    return Fraction(std::hypot(counted, by_capacity));
}

Hour time_until_off(Fraction off, AmpHour capacity, Ampere offset) {
    return off * capacity / Ampere(std::abs(offset.value()));
}

Hour time_until_off(Fraction off, AmpHour capacity, const MeterErrors& meter, double sds) {
    // offset^2 t^2 + noise^2 dt t = allowed^2, solved for t in the form that stays exact for a vanishing offset.
    const double allowed = (off * capacity).value() / sds;
    const double walk = meter.noise.value() * meter.noise.value() * interval(meter).value();
    const double root = std::sqrt(walk * walk + 4 * std::pow(meter.offset.value() * allowed, 2));
    if (walk + root == 0) return Hour(std::numeric_limits<double>::infinity());
    return Hour(2 * allowed * allowed / (walk + root));
}

}  // namespace amphora
