// Panels and the controller between them and the battery.
#include <algorithm>
#include <array>
#include <cmath>

#include "core/design/chemistry_limits.hpp"
#include "core/design/rules.hpp"
#include "core/design/solar.hpp"
#include "core/design/words.hpp"

namespace amphora::design {
namespace {

std::string subject(const Charger& c) { return "charger " + c.name; }

/// Cold panels give more voltage.
void stands_the_cold_panel(const Plan& plan, Findings& found) {
    for (const Charger& c : plan.chargers) {
        if (c.kind != ChargerKind::solar || !c.highest_input.known() || !c.panels.open_circuit.known()) continue;
        const Celsius coldest =
            plan.bank.coldest.known() ? std::min(plan.bank.coldest, Celsius(-10.0)) : Celsius(-10.0);
        const double rise = 1.0 + 0.003 * (25.0 - coldest.value());
        const Volt highest = c.panels.open_circuit * (c.panels.series * rise);
        if (highest <= c.highest_input) continue;
        found.push_back(
            {.severity = Severity::danger,
             .rule = "charger.solar-voltage",
             .subject = subject(c),
             .figures = {{"panels on a cold morning", highest.value(), "V"},
                         {"controller takes", c.highest_input.value(), "V"},
                         {"coldest", coldest.value(), "°C"}},
             .sentence = std::to_string(c.panels.series) + " panels in series reach " + words(highest) +
                         " on a bright morning at " + words(coldest) + "; the controller takes " +
                         words(c.highest_input) + " and is destroyed above.",
             .source = "NEC 690.7 in kind: silicon gains about 0.3 % of open-circuit voltage per kelvin below 25 °C",
             .mend = "fewer panels in series, or a controller for a higher voltage"});
    }
}

/// Hot panels give less.
void gets_enough_voltage(const Plan& plan, Findings& found) {
    const Volt full = limits(plan.bank.battery.chemistry).absorption_low * plan.bank.battery.cells_in_series;
    for (const Charger& c : plan.chargers) {
        if (c.kind != ChargerKind::solar || !c.panels.at_peak.known()) continue;
        const double hot = 1.0 - 0.0045 * (65.0 - 25.0);
        const Volt panel = c.panels.at_peak * (c.panels.series * hot);
        const bool tracking = c.controller == ControllerKind::tracking;
        const Volt least = tracking ? full + Volt(1.0) : full;
        if (panel < least) {
            found.push_back({.severity = Severity::warning,
                             .rule = "charger.solar-low",
                             .subject = subject(c),
                             .figures = {{"panels at 65 °C", panel.value(), "V"}, {"needed", least.value(), "V"}},
                             .sentence = "Hot panels fall to " + words(panel) + ", and " + words(least) +
                                         " are needed to fill the battery.",
                             .source = "silicon loses about 0.45 % of its peak-power voltage per kelvin (from memory)",
                             .mend = "one more panel in series"});
        } else if (!tracking && panel > full * 1.5) {
            found.push_back({.severity = Severity::warning,
                             .rule = "charger.solar-waste",
                             .subject = subject(c),
                             .figures = {{"panels", panel.value(), "V"}, {"battery", full.value(), "V"}},
                             .sentence = "A controller that only switches pulls these panels down from " +
                                         words(panel) + " to " + words(full) + " and wastes " +
                                         percent(1.0 - full / panel) + " of their power.",
                             .source = "power = battery voltage x panel current",
                             .mend = "a controller that tracks the panels' best voltage"});
        }
    }
}

void takes_the_panels_current(const Plan& plan, Findings& found) {
    for (const Charger& c : plan.chargers) {
        if (c.kind != ChargerKind::solar || c.current <= Ampere(0.0) || c.panels.peak <= Watt(0.0)) continue;
        const Ampere from_panels = c.panels.peak / plan.nominal;
        if (from_panels <= c.current * 1.35) continue;
        found.push_back({.severity = Severity::warning,
                         .rule = "charger.solar-current",
                         .subject = subject(c),
                         .figures = {{"panels", from_panels.value(), "A"}, {"controller", c.current.value(), "A"}},
                         .sentence = "Panels of " + words(c.panels.peak) + " could give " + words(from_panels) +
                                     "; the controller passes " + words(c.current) + " and the rest is lost.",
                         .source = "power / voltage",
                         .mend = "a larger controller, or fewer panels"});
    }
}

/// Three strings or more can feed a fault in one.
void has_string_fuses(const Plan& plan, Findings& found) {
    for (const Charger& c : plan.chargers) {
        if (c.kind != ChargerKind::solar || c.panels.strings < 3 || c.panels.string_fuses) continue;
        const Ampere least = c.panels.short_circuit * 1.5625;
        found.push_back({.severity = Severity::warning,
                         .rule = "charger.string-fuse",
                         .subject = subject(c),
                         .figures = {{"strings", static_cast<double>(c.panels.strings), ""}},
                         .sentence = std::to_string(c.panels.strings) +
                                     " strings of panels in parallel: two of them can overload a faulty third.",
                         .source = "NEC 690.9 in kind: a fuse per string from three strings on; size 1.56 x "
                                   "short-circuit current (690.8)",
                         .mend = c.panels.short_circuit.known()
                                     ? "a fuse in each string, " + words(least) + " or the next size"
                                     : "a fuse in each string"});
    }
}

/// Turned the wrong way round: a figure counted from south, or from the wrong hemisphere.
void looks_to_the_sun(const Plan& plan, Findings& found) {
    constexpr double noticeable_tilt = 15.0;
    constexpr double sideways = 100.0;
    if (!plan.climate.given) return;
    for (const Charger& c : plan.chargers) {
        if (c.kind != ChargerKind::solar || c.panels.tilt < Degree(noticeable_tilt)) continue;
        const double equator = plan.climate.months[0].latitude < Degree(0.0) ? 0.0 : 180.0;
        const double off = std::abs(std::remainder(c.panels.azimuth.value() - equator, 360.0));
        if (off <= sideways) continue;
        Charger turned = c;
        turned.panels.azimuth = Degree(equator);
        WattHour as_it_is{};
        WattHour could_be{};
        for (int m = 0; m < 12; ++m) {
            as_it_is += solar_day(plan, c, m);
            could_be += solar_day(plan, turned, m);
        }
        if (could_be <= WattHour(0.0)) continue;
        found.push_back(
            {.severity = Severity::warning,
             .rule = "charger.solar-away",
             .subject = subject(c),
             .figures = {{"azimuth", c.panels.azimuth.value(), "°"},
                         {"tilt", c.panels.tilt.value(), "°"},
                         {"of the year's yield that is left", as_it_is / could_be, ""}},
             .sentence = "These panels look away from the sun: over the year they give " +
                         percent(as_it_is / could_be) + " of what they would towards " +
                         (equator > 0.0 ? "south." : "north."),
             .source = "the sun's geometry (FAO-56; Duffie and Beckman) over the climate as described",
             .mend = "turn them if they can be turned; azimuth_deg counts from north over east: 180 is south"});
    }
}

constexpr std::array<PlanRule, 5> rules{stands_the_cold_panel, gets_enough_voltage, takes_the_panels_current,
                                        has_string_fuses, looks_to_the_sun};

}  // namespace

std::span<const PlanRule> solar_rules() { return rules; }

}  // namespace amphora::design
