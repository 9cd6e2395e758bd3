// A battery cannot be fuller than full or emptier than empty. Where the belief reaches over an edge it is cut there and
// the cut bell is fitted by a new one of the same mean and variance (D. Simon, Optimal State Estimation, 2006,
// sec. 7.5.4).
#include <cmath>
#include <numbers>

#include "core/estimate/filter.hpp"

namespace amphora {

void Filter::use_bounds(Trace* trace) {
    using namespace part;
    const double empty = std::exp(belief_.mean[capacity]);
    const double mean = belief_.mean[missing];
    const double sd = std::sqrt(belief_.covariance.at(missing, missing));
    if (mean > empty) belief_.mean[missing] = empty;
    if (mean >= 0.0) return;
    // A little over the edge is noise, and to cut there minute after minute would count the same knowledge again and
    // again.
    const double inwards = std::max(mean / sd, -5.0);
    if (inwards > -1.0) return;
    const double density = std::exp(-0.5 * inwards * inwards) / std::sqrt(2.0 * std::numbers::pi);
    const double hazard = density / (0.5 * std::erfc(-inwards / std::numbers::sqrt2));
    const double shrink = 1.0 - hazard * (hazard + inwards);  // of the variance
    const double noise = sd * sd * shrink / (1.0 - shrink);
    StateVector row{};
    row[missing] = 1.0;
    apply(row, hazard * sd / (1.0 - shrink), noise, trace);
}

}  // namespace amphora
