#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string_view>

#include "core/design/load.hpp"
#include "core/design/rules.hpp"
#include "core/design/words.hpp"

namespace amphora::design {
namespace {

constexpr double critical_share = 0.03;
constexpr double ordinary_share = 0.10;

Volt allowed_drop(const Plan& plan, const Circuit& c) {
    const bool tight = c.critical || c.purpose != Purpose::load;
    return plan.nominal * (tight ? critical_share : ordinary_share);
}

/// Along the whole way from the battery, as far as this circuit's own current causes it.
Volt drop_to_the_end(const Plan& plan, const Circuit& c, Ampere current) {
    Volt lost{};
    int steps = 0;
    for (const Circuit* part = &c; part != nullptr && steps < 16; part = parent_of(plan, *part), ++steps) {
        if (part->run) lost += voltage_drop(*part->run, current);
    }
    return lost;
}

std::string subject(const Circuit& c) { return "circuit " + c.name; }

std::string thicker(const Plan& plan, const Circuit& c, Ampere current) {
    // Thick enough for the fuse that the current needs, too; the drop grows with the current, and what is allowed with
    // it.
    const auto size = thinnest(c.run->size.series, c.run->laying, c.run->one_way, current / continuous_share,
                               allowed_drop(plan, c) / continuous_share);
    if (!size)
        return "no single cable of this series does it: shorten the run, use two in parallel, or go to a higher "
               "voltage";
    return "use " + name(*size) + " or thicker";
}

/// 33 CFR 183.425: a conductor must carry its current.
void carries_its_load(const Plan& plan, const Circuit& c, Findings& found) {
    if (!c.run) return;
    const Ampere load = load_of(plan, c, Reckoning::installed).greatest();
    const Ampacity can = ampacity(c.run->size, c.run->laying);
    if (load <= can.corrected()) return;
    const bool only_bundled = load <= can.alone() && plan.nominal < Volt(50.0);
    found.push_back(
        {.severity = only_bundled ? Severity::warning : Severity::danger,
         .rule = "cable.ampacity",
         .subject = subject(c),
         .figures = {{"load", load.value(), "A"},
                     {"ampacity here", can.corrected().value(), "A"},
                     {"ampacity alone at 30 °C", can.in_free_air.value(), "A"},
                     {"factor for heat", can.for_ambient, ""},
                     {"factor for bundling", can.for_bundle, ""}},
         .sentence = name(c.run->size) + " carries " + words(can.corrected()) + " as it lies here, but " + words(load) +
                     " may flow: the insulation gets too hot.",
         .source = std::string(can.source) +
                   (only_bundled ? "; note 2 on bundles binds from 50 V on, below it is caution" : ""),
         .mend = thicker(plan, c, load) + (can.for_bundle < 1.0 ? ", or lay it apart from the others" : "")});
}

/// 3 % where it matters, 10 % elsewhere.
void loses_little_voltage(const Plan& plan, const Circuit& c, Findings& found) {
    if (!c.run) return;
    const Load l = load_of(plan, c, Reckoning::installed);
    const Ampere load = l.greatest();
    const Volt lost = drop_to_the_end(plan, c, load);
    const Volt allowed = allowed_drop(plan, c);
    if (lost <= allowed * 1.005) return;  // the half per cent is the tables' own rounding
    const Celsius copper = conductor_temperature(ampacity(c.run->size, c.run->laying), c.run->laying, load);
    found.push_back(
        {.severity = Severity::warning,
         .rule = "cable.drop",
         .subject = subject(c),
         .figures = {{"current", load.value(), "A"},
                     {"there and back", 2.0 * c.run->one_way.value(), "m"},
                     {"copper", std::min(copper, c.run->laying.insulation).value(), "°C"},
                     {"lost", lost.value(), "V"},
                     {"allowed", allowed.value(), "V"}},
         .sentence = words(lost) + " (" + percent(lost / plan.nominal) +
                     ") is lost on the way from the battery and back at " + words(load) + "; " +
                     percent(allowed / plan.nominal) + " is the most for " +
                     (c.critical || c.purpose != Purpose::load ? "feeders, chargers and what must not fail."
                                                               : "ordinary loads."),
         .source =
             "ISO 10133:2012, 4.8, and ABYC E-11: 3 % for critical, 10 % for other circuits; IEC 60228 resistance",
         .mend = thicker(plan, c, load)});
}

/// Thin single wires break before they burn.
void is_thick_enough_to_last(const Plan&, const Circuit& c, Findings& found) {
    if (!c.run) return;
    const SquareMillimetre least(c.sheathed ? 0.75 : 0.8);  // 18 AWG is 0.82 mm2
    if (c.run->one_way <= Metre(0.2) || c.run->size.area >= least) return;
    found.push_back({.severity = Severity::warning,
                     .rule = "cable.thin",
                     .subject = subject(c),
                     .figures = {{"section", c.run->size.area.value(), "mm²"}},
                     .sentence = "A wire of " + name(c.run->size) + " breaks by vibration before it ever gets hot.",
                     .source = "ISO 10133:2012, 7.7: 1 mm² for single conductors, 0.75 mm² in a common sheath",
                     .mend = "use 1 mm² (18 AWG) or thicker"});
}

/// The section that a terminal's label means: "16", "16 mm2", "2/0", "2 AWG"; a bare figure is of the cable's series.
std::optional<SquareMillimetre> section_of(std::string_view lug, SizeSeries cable) {
    const bool american = lug.find("AWG") != std::string_view::npos || lug.find("awg") != std::string_view::npos ||
                          lug.find('/') != std::string_view::npos;
    const bool metric = lug.find("mm") != std::string_view::npos;
    const auto begin = lug.find_first_of("0123456789");
    if (begin == std::string_view::npos || (lug.front() == 'M' && !metric)) return std::nullopt;  // "M8": a bolt
    const std::string_view label = lug.substr(begin, lug.find_first_not_of("0123456789./", begin) - begin);
    const SizeSeries series = american ? SizeSeries::american : metric ? SizeSeries::metric : cable;
    const auto all = sizes(series);
    const auto size = std::ranges::find(all, label, &ConductorSize::label);
    if (size == all.end()) return std::nullopt;
    return size->area;
}

/// A lug of the wrong size is a loose joint. 35 mm2 and 2 AWG are near enough to share one.
void has_lugs_that_fit(const Plan&, const Circuit& c, Findings& found) {
    if (!c.run || c.lug.empty()) return;
    const auto section = section_of(c.lug, c.run->size.series);
    constexpr double near_enough = 0.10;
    if (!section || std::abs(*section / c.run->size.area - 1.0) <= near_enough) return;
    found.push_back({.severity = Severity::warning,
                     .rule = "cable.lug",
                     .subject = subject(c),
                     .figures = {{"terminal", section->value(), "mm²"}, {"cable", c.run->size.area.value(), "mm²"}},
                     .sentence = "The terminals are made for " + c.lug + ", the cable is " + name(c.run->size) +
                                 ": a crimp of the wrong size works loose and heats up.",
                     .source = "common practice, no source; the terminal maker's size range decides",
                     .mend = "take terminals for " + name(c.run->size)});
}

/// The body as a conductor.
void does_not_use_the_body(const Plan&, const Circuit& c, Findings& found) {
    if (c.negative != Negative::chassis) return;
    found.push_back(
        {.severity = Severity::warning,
         .rule = "cable.chassis",
         .subject = subject(c),
         .figures = {},
         .sentence = "The negative returns through the vehicle's body: joints corrode, the drop cannot be "
                     "reckoned, and unless the one bond of the body is on the load side of the shunt the meter does "
                     "not see it.",
         .source = "ISO 10133:2012 asks for insulated two-wire circuits (from memory)",
         .mend = "run a negative wire to the negative bar on the load side of the shunt; bond the body once, there"});
}

constexpr std::array<CircuitRule, 5> rules{carries_its_load, loses_little_voltage, is_thick_enough_to_last,
                                           has_lugs_that_fit, does_not_use_the_body};

}  // namespace

std::span<const CircuitRule> cable_rules() { return rules; }

}  // namespace amphora::design
