#include "core/estimate/hindsight_path.hpp"

namespace amphora {

Uncertain<Fraction> HindsightPath::at(const Estimate& then) {
    while (rest_.size() > 1 && rest_[1].at <= then.at) rest_ = rest_.subspan(1);
    if (rest_.empty()) return then.state_of_charge;
    const auto& before = rest_[0];
    if (then.at <= before.at || rest_.size() == 1) return before.state_of_charge;
    const auto& after = rest_[1];
    const double share = (then.at - before.at) / (after.at - before.at);
    const auto between = [share](Fraction a, Fraction b) { return a + (b - a) * share; };
    return {between(before.state_of_charge.mean, after.state_of_charge.mean),
            between(before.state_of_charge.sd, after.state_of_charge.sd)};
}

}  // namespace amphora
