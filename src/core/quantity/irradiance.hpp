// Power and energy of sunlight on a surface.
#pragma once

#include "core/quantity/quantity.hpp"

namespace amphora {

using WattPerSquareMetre = Quantity<struct WattPerSquareMetreTag>;
/// Irradiation: what fell on a square metre over a stated time, usually a day.
using KilowattHourPerSquareMetre = Quantity<struct KilowattHourPerSquareMetreTag>;
using MetrePerSecond = Quantity<struct MetrePerSecondTag>;

constexpr double watts_per_kilowatt = 1000.0;
constexpr double megajoules_per_kilowatt_hour = 3.6;

}  // namespace amphora
