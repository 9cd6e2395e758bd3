// What panels on a roof give, hour by hour of a day.
#pragma once

#include <array>

#include "core/design/plan.hpp"

namespace amphora::design {

/// The geometry of one day for one set of panels, so that irradiance on the panels at an hour is linear in two numbers:
/// clearness x (a[h] + diffuse_share x b[h]), W/m2. Hours are solar time; index 12 is the hour from 12 to 13.
struct PanelDay {
    std::array<double, 24> a{};
    std::array<double, 24> b{};
    Degree sunset_angle;
};
[[nodiscard]] PanelDay panel_day(const Panels& panels, int day, Degree latitude);

/// Irradiance on the panels for a day's clearness, never negative.
[[nodiscard]] WattPerSquareMetre on_panels(const PanelDay& day, int hour, double clearness);

/// What the panels of a charger give at its battery side: temperature, dirt, controller and its current limit counted.
[[nodiscard]] Watt panel_power(const Plan& plan, const Charger& charger, WattPerSquareMetre on_panels, Celsius air);

/// The same as three coefficients, for loops that cannot afford more: watts = g x (p0 + p1 x air + p2 x g), g in W/m2.
struct PanelCurve {
    double p0 = 0.0;
    double p1 = 0.0;
    double p2 = 0.0;
    double most = 0.0;  // W
};
[[nodiscard]] PanelCurve panel_curve(const Plan& plan, const Charger& charger);

/// Mean air temperature at an hour: a sine with its lowest at 3 h and highest at 15 h.
[[nodiscard]] Celsius air_at(const sun::Month& month, int hour);

/// Energy of a mean day of a month.
[[nodiscard]] WattHour solar_day(const Plan& plan, const Charger& charger, int month);

}  // namespace amphora::design
