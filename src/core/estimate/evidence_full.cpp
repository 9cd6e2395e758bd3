// Fullness as evidence: the charger's tail. While the voltage is held and the current has fallen, the charge still
// missing is about current times a time that the chemistry sets; the smaller the tail, the surer. Never a jump to 100
// %.
#include <algorithm>
#include <cmath>

#include "core/estimate/filter.hpp"

namespace amphora {
namespace {

constexpr double unconfirmed_doubt = 1.6;
constexpr double surprising = 9.0;  // squares of the sd: three sd and more

}  // namespace

void Filter::use_full(const Step& step, Trace* trace) {
    using namespace part;
    if (step.tail_a < 0.0F) return;
    // The same current means less before the description's whole evidence is there: the charger may only just have got
    // to its voltage, or, at a current far above the evidence's, be pushing through the resistance of a cold battery.
    const double far_above = static_cast<double>(step.tail_a) / battery_.full.current_below.value();
    const double doubt =
        step.full ? 1.0 : unconfirmed_doubt * (is_lead_acid(battery_.chemistry) ? 1.0 : std::max(1.0, far_above));
    const double left = model_.tail.time.value() * static_cast<double>(step.tail_a) / label_ah_;
    const double floor = (step.full ? model_.tail.floor_sd : model_.tail.hasty_sd).value();
    const double sd = std::hypot(doubt * model_.tail.spread * left, floor);
    // The same tail, minute after minute, is one piece of evidence: used again only once less is known than it tells.
    if (belief_.covariance.at(missing, missing) < sd * sd) return;
    look_at_missing(left, sd, trace);
    if (step.full) last_evidence_ = Evidence::full;
}

/// Beyond the upper knee: nearly full, whatever the charger does; the faster it charges, the less sure, for a cell that
/// is charged hard shows the knee early.
void Filter::use_near_full(double c_rate, Trace* trace) {
    const double hard = std::max(c_rate, 0.0);
    const double sd = model_.near_full_sd.value() + 0.35 * hard;
    if (belief_.covariance.at(part::missing, part::missing) < sd * sd) return;
    look_at_missing(model_.near_full_missing.value() + 0.3 * hard, sd, trace);
}

/// Fullness that comes as a surprise is laid to charge that came or went unseen (cells that were bled, a charger past
/// the shunt), not to the meter: else one such day would spoil an offset that was learned in weeks.
void Filter::look_at_missing(double seen, double sd, Trace* trace) {
    double& doubt = belief_.covariance.at(part::missing, part::missing);
    const double innovation = seen - belief_.mean[part::missing];
    doubt += std::max(0.0, innovation * innovation / surprising - (doubt + sd * sd));
    StateVector row{};
    row[part::missing] = 1.0;
    apply(row, innovation, sd * sd, trace);
}

}  // namespace amphora
