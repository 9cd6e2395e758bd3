// Emptiness as evidence: below the lower knee, corrected for the load, hardly anything is left. One look per visit.
#include <cmath>

#include "core/estimate/filter.hpp"

namespace amphora {

void Filter::use_near_empty(Trace* trace) {
    using namespace part;
    const double sd = model_.near_empty_sd.value();
    if (state_of_charge().sd.value() < sd) return;
    const double scale = std::exp(-belief_.mean[capacity]);
    const double z = 1.0 - belief_.mean[missing] * scale;
    StateVector row{};
    row[missing] = -scale;
    row[capacity] = 1.0 - z;
    apply(row, model_.near_empty_charge.value() - z, sd * sd, trace);
    last_evidence_ = Evidence::empty;
}

}  // namespace amphora
