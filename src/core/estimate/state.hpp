// What the filter believes: a mean and a covariance over the quantities below. All but the missing charge and the
// wandering voltage error are constants that are learned slowly, so that prediction is cheap and hindsight reaches far
// back.
#pragma once

#include "core/estimate/symmetric.hpp"
#include "core/quantity/quantity.hpp"

namespace amphora {

namespace part {
inline constexpr std::size_t missing = 0;     // charge below full, as a part of the design capacity
inline constexpr std::size_t offset = 1;      // A shown by the meter when nothing flows
inline constexpr std::size_t capacity = 2;    // ln(full-charge capacity / design capacity)
inline constexpr std::size_t loss = 3;        // charge lost near full, see LossKnowledge
inline constexpr std::size_t hysteresis = 4;  // V per cell, amplitude
inline constexpr std::size_t ohmic = 5;       // resistances, as multiples of the chemistry's
inline constexpr std::size_t fast = 6;
inline constexpr std::size_t slow = 7;
inline constexpr std::size_t bias = 8;     // V per cell, error of the curve at its knots: this one and the following
inline constexpr std::size_t wander = 13;  // V per cell, error that comes and goes
inline constexpr std::size_t count = 14;
}  // namespace part

using StateVector = Vector<part::count>;
using StateCovariance = Symmetric<part::count>;

/// What follows from the currents alone, without doubt worth carrying: filtered currents and the branch of the
/// hysteresis.
struct Excitation {
    double fast_a = 0.0;
    double slow_a = 0.0;
    double fast_mean_a = 0.0;  // the same, averaged over the last step
    double slow_mean_a = 0.0;
    double branch = 0.0;    // -1 discharged to here, +1 charged to here
    double rested_h = 0.0;  // since current last flowed to speak of
    double charging_h = 0.0;
    double since_charge_h = 1e3;
};

struct Belief {
    StateVector mean{};
    StateCovariance covariance{};
    Excitation excitation{};
};

}  // namespace amphora
