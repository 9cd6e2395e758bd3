// A battery cannot be fuller than full or emptier than empty. Where the belief reaches over an edge it is cut there and
// the cut bell is fitted by a new one of the same mean and variance (D. Simon, Optimal State Estimation, 2006,
// sec. 7.5.4).
#include <cmath>
#include <numbers>

#include "core/estimate/filter.hpp"

namespace amphora {

void Filter::use_bounds(Trace* trace) {
    using namespace part;
    const double mean = belief_.mean[missing];
    const double variance = belief_.covariance.at(missing, missing);
    const double sd = std::sqrt(variance);
    const double empty = std::exp(belief_.mean[capacity]);
    if (mean >= 0.0 && mean <= empty) return;
    // In units of sd, measured inwards from the edge that was crossed; negative: the mean lies outside.
    const bool over_full = mean < 0.0;
    const double inwards = std::max((over_full ? mean : empty - mean) / sd, -5.0);
    const double density = std::exp(-0.5 * inwards * inwards) / std::sqrt(2.0 * std::numbers::pi);
    const double inside = 0.5 * std::erfc(-inwards / std::numbers::sqrt2);
    const double hazard = density / inside;
    const double shift = hazard * sd;
    const double shrink = 1.0 - hazard * (hazard + inwards);  // of the variance
    if (shrink >= 0.999 || shrink <= 0.0) return;
    const double noise = variance * shrink / (1.0 - shrink);
    const double gain = variance / (variance + noise);
    StateVector row{};
    row[missing] = 1.0;
    apply(row, (over_full ? shift : -shift) / gain, noise, trace);
}

}  // namespace amphora
