#include "core/design/solar.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/design/chemistry_limits.hpp"
#include "core/sun/plane.hpp"

namespace amphora::design {
namespace {

constexpr double ground_reflectance = 0.2;   // grass and asphalt, Duffie and Beckman table 2.13
constexpr double lowest_sun_cosine = 0.087;  // below 5 degrees the beam ratio means nothing
constexpr double controller_efficiency = 0.95;
constexpr double dirt = 0.95;  // flat panels lose 3 to 7 % (from memory)
constexpr MetrePerSecond breeze{1.0};

/// How the beam on the panel compares with the beam on the ground.
double beam_ratio(const Panels& panels, const sun::Position& p) {
    const double up = cosine(p.zenith);
    if (up < lowest_sun_cosine || Degree(90.0) - p.zenith < panels.horizon) return 0.0;
    const Degree angle = sun::incidence(p, panels.tilt, panels.azimuth);
    return std::max(0.0, cosine(angle) / up) * sun::glass_transmits(angle) * (1.0 - panels.shade);
}

/// Kelvin that the cells are above the air per W/m2.
double heating(sun::Mounting mounting) {
    const WattPerSquareMetre full(1000.0);
    return sun::cell_by_mounting(Celsius(0.0), full, breeze, mounting).cell.value() / full.value();
}

double battery_voltage(const Plan& plan) {
    return limits(plan.bank.battery.chemistry).rest_full.value() * plan.bank.battery.cells_in_series * 1.02;
}

}  // namespace

PanelDay panel_day(const Panels& panels, int day, Degree latitude) {
    const sun::Day d = sun::day_of_year(day, latitude);
    const double sky = (1.0 + cosine(panels.tilt)) / 2.0;
    const double ground = (1.0 - cosine(panels.tilt)) / 2.0 * ground_reflectance;
    const double above = d.extraterrestrial.value() * watts_per_kilowatt;
    PanelDay out;
    out.sunset_angle = d.sunset_angle;
    for (int h = 0; h < 24; ++h) {
        const Degree hour_angle((h + 0.5 - 12.0) * 15.0);
        const double ratio = beam_ratio(panels, sun::position(latitude, d.declination, hour_angle));
        out.a.at(static_cast<std::size_t>(h)) = above * sun::global_share_per_hour(d, hour_angle) * (ratio + ground);
        out.b.at(static_cast<std::size_t>(h)) = above * sun::diffuse_share_per_hour(d, hour_angle) * (sky - ratio);
    }
    return out;
}

WattPerSquareMetre on_panels(const PanelDay& day, int hour, double clearness) {
    const auto h = static_cast<std::size_t>(hour);
    const double diffuse = sun::diffuse_share_of_day(clearness, day.sunset_angle);
    return WattPerSquareMetre(std::max(0.0, clearness * (day.a.at(h) + diffuse * day.b.at(h))));
}

PanelCurve panel_curve(const Plan& plan, const Charger& charger) {
    const Panels& p = charger.panels;
    double gain = p.peak.value() / 1000.0 * controller_efficiency * dirt;
    if (charger.controller == ControllerKind::switching && p.at_peak.known()) {
        gain *= std::min(1.0, battery_voltage(plan) / (p.at_peak.value() * p.series));
    }
    const double most =
        charger.current > Ampere(0.0) ? charger.current.value() * battery_voltage(plan) : p.peak.value();
    return {.p0 = gain * (1.0 - 25.0 * p.per_kelvin),
            .p1 = gain * p.per_kelvin,
            .p2 = gain * p.per_kelvin * heating(p.mounting),
            .most = most};
}

Watt panel_power(const Plan& plan, const Charger& charger, WattPerSquareMetre on_panels, Celsius air) {
    const PanelCurve c = panel_curve(plan, charger);
    const double g = on_panels.value();
    return Watt(std::clamp(g * (c.p0 + c.p1 * air.value() + c.p2 * g), 0.0, c.most));
}

Celsius air_at(const sun::Month& month, int hour) {
    const double turn = 2.0 * std::numbers::pi * (hour + 0.5 - 9.0) / 24.0;
    return month.mean + month.swing * (0.5 * std::sin(turn));
}

WattHour solar_day(const Plan& plan, const Charger& charger, int month) {
    const sun::Month& m = plan.climate.months.at(static_cast<std::size_t>(month));
    const PanelDay day = panel_day(charger.panels, sun::middle_of_month(month), m.latitude);
    const double k = sun::clearness(m, month);
    WattHour sum{};
    for (int h = 0; h < 24; ++h) sum += panel_power(plan, charger, on_panels(day, h, k), air_at(m, h)) * Hour(1.0);
    return sum;
}

}  // namespace amphora::design
