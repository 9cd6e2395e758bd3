// A battery cannot be fuller than full or emptier than empty. A belief that reaches over an edge is set back to it.
// Nothing more is learned from that: what lies over the edge is the sum of many small errors, and to lay them to the
// offset or the capacity, minute after minute, was tried and drove both astray.
#include <algorithm>
#include <cmath>

#include "core/estimate/filter.hpp"

namespace amphora {

void Filter::use_bounds() {
    double& missing = belief_.mean[part::missing];
    missing = std::clamp(missing, 0.0, std::exp(belief_.mean[part::capacity]));
}

}  // namespace amphora
