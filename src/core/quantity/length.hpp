// Lengths of wire, cross-sections of conductor, heights.
#pragma once

#include "core/quantity/quantity.hpp"

namespace amphora {

using Metre = Quantity<struct MetreTag>;
using SquareMillimetre = Quantity<struct SquareMillimetreTag>;
/// Resistance of a conductor per length.
using OhmPerKilometre = Quantity<struct OhmPerKilometreTag>;

constexpr double metres_per_kilometre = 1000.0;

constexpr Ohm operator*(OhmPerKilometre r, Metre l) { return Ohm(r.value() * l.value() / metres_per_kilometre); }

}  // namespace amphora
