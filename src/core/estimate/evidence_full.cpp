// Fullness as evidence: the charger's tail. While the voltage is held and the current has fallen, the charge still
// missing is about current times a time that the chemistry sets; the smaller the tail, the surer. Never a jump to 100
// %.
#include <algorithm>
#include <cmath>

#include "core/estimate/filter.hpp"

namespace amphora {

void Filter::use_full(const Step& step, Trace* trace) {
    using namespace part;
    if (step.tail_a < 0.0F) return;
    const double left = model_.tail.time.value() * static_cast<double>(step.tail_a) / label_ah_;
    const double sd = std::hypot(model_.tail.spread * left, model_.tail.floor_sd.value());
    // The same tail, minute after minute, is one piece of evidence: used again only once less is known than it tells.
    if (belief_.covariance.at(missing, missing) < sd * sd) return;
    StateVector row{};
    row[missing] = 1.0;
    apply(row, left - belief_.mean[missing], sd * sd, trace);
    last_evidence_ = Evidence::full;
}

}  // namespace amphora
