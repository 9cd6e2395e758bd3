// A battery cannot be fuller than full or emptier than empty. While it charges, a belief may reach over full: how far
// says how wrong the count has been, and the evidence for full, when it comes, learns the offset from it. Once charge
// leaves, what was over the edge never was, and the belief is set back; no more is learned from that, for it is the sum
// of many small errors, and to lay them to the offset minute after minute was tried and drove it astray.
#include <algorithm>
#include <cmath>

#include "core/estimate/filter.hpp"

namespace amphora {

void Filter::use_bounds(double current) {
    double& missing = belief_.mean[part::missing];
    const double fullest = current > 0.0 ? -0.3 : 0.0;
    missing = std::clamp(missing, fullest, std::exp(belief_.mean[part::capacity]));
}

}  // namespace amphora
