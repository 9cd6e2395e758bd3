#include <algorithm>
#include <array>

#include "core/design/chemistry_limits.hpp"
#include "core/design/load.hpp"
#include "core/design/rules.hpp"
#include "core/design/words.hpp"

namespace amphora::design {
namespace {

std::string subject(const Inverter& i) { return "inverter " + i.name; }

Watt installed(const Plan& plan) {
    Watt sum{};
    for (const Inverter& i : plan.inverters) sum += i.power;
    return sum;
}

void gives_the_power(const Plan& plan, Findings& found) {
    const AcDemand asked = ac_demand(plan);
    if (plan.inverters.empty()) {
        if (asked.continuous <= Watt(0.0)) return;
        found.push_back({.severity = Severity::warning,
                         .rule = "inverter.missing",
                         .subject = "appliances behind an inverter",
                         .figures = {{"asked for", asked.continuous.value(), "W"}},
                         .sentence = "Appliances ask for " + words(asked.continuous) +
                                     " behind an inverter, and none is described.",
                         .source = "this description",
                         .mend = "describe the inverter, or feed them from shore"});
        return;
    }
    const Watt power = installed(plan);
    if (asked.continuous <= power) return;
    found.push_back({.severity = Severity::warning,
                     .rule = "inverter.power",
                     .subject = subject(plan.inverters.front()),
                     .figures = {{"asked for", asked.continuous.value(), "W"}, {"gives", power.value(), "W"}},
                     .sentence = "What may run at once asks for " + words(asked.continuous) + "; the inverter gives " +
                                 words(power) + ".",
                     .source = "the inverter's rating, as described",
                     .mend = "a larger inverter, or do not run them at the same hour"});
}

void starts_the_appliances(const Plan& plan, Findings& found) {
    if (plan.inverters.empty()) return;
    const AcDemand asked = ac_demand(plan);
    Watt surge{};
    for (const Inverter& i : plan.inverters) surge += i.surge.known() ? i.surge : i.power;
    if (asked.surge <= surge || asked.surge <= asked.continuous) return;
    found.push_back({.severity = Severity::warning,
                     .rule = "inverter.surge",
                     .subject = subject(plan.inverters.front()),
                     .figures = {{"surge", asked.surge.value(), "W"}, {"gives for a moment", surge.value(), "W"}},
                     .sentence = "Starting an appliance asks for " + words(asked.surge) +
                                 " for a moment; the inverter gives " + words(surge) + " and switches off.",
                     .source = "the inverter's and the appliance's surge, as described",
                     .mend = "an inverter with more surge, or start that appliance alone"});
}

void suits_the_system_voltage(const Plan& plan, Findings& found) {
    const Volt highest = working_high(plan);
    for (const Inverter& i : plan.inverters) {
        if (!i.highest_input.known() || highest <= i.highest_input * 1.01) continue;
        found.push_back(
            {.severity = Severity::warning,
             .rule = "inverter.input",
             .subject = subject(i),
             .figures = {{"system at its highest", highest.value(), "V"},
                         {"inverter takes", i.highest_input.value(), "V"}},
             .sentence = "The chargers may bring the system to " + words(highest) + "; the inverter takes " +
                         words(i.highest_input) + ".",
             .source = "the inverter's input range, as described",
             .mend = "an inverter for this voltage, or a lower charge voltage that the battery still fills at"});
    }
}

/// Current makes voltage fall inside battery and cable; a low battery then looks empty.
void stays_on_when_it_sags(const Plan& plan, Findings& found) {
    const Source source = source_of(plan);
    for (const Inverter& i : plan.inverters) {
        if (!i.cut_off.known()) continue;
        const Watt peak = i.surge.known() ? std::min(i.surge, std::max(ac_demand(plan).surge, i.power)) : i.power;
        const Ampere current = inverter_current(plan, i, peak);
        Ohm path = source.resistance;
        for (const Circuit& c : plan.circuits) {
            if (c.name == i.circuit) path += copper_to_the_end(plan, c, Celsius(40.0));
        }
        const ChemistryLimits& chem = limits(plan.bank.battery.chemistry);
        const Volt at_half = (chem.rest_full * 0.985) * plan.bank.battery.cells_in_series;
        const Volt left = at_half - path * current;
        if (left >= i.cut_off) continue;
        found.push_back(
            {.severity = Severity::warning,
             .rule = "inverter.sag",
             .subject = subject(i),
             .figures = {{"current", current.value(), "A"},
                         {"voltage then", left.value(), "V"},
                         {"switches off below", i.cut_off.value(), "V"}},
             .sentence = "At " + words(peak) + " the bank and cable sag to about " + words(left) +
                         ", below the inverter's " + words(i.cut_off) + ": it switches off with the battery half full.",
             .source = std::string("Ohm's law; bank resistance ") +
                       (source.estimated ? "typical of its kind (from memory)" : "from its short-circuit current"),
             .mend = "a larger bank, thicker or shorter cable, or a smaller load"});
    }
}

/// An inverter that idles all day can be the largest load.
void does_not_idle_all_day(const Plan& plan, Findings& found) {
    for (const Inverter& i : plan.inverters) {
        const WattHour idle = i.idle * i.idle_hours;
        const WattHour usable =
            plan.bank.battery.design_capacity * (1.0 - plan.bank.battery.reserve.value()) * plan.nominal;
        if (idle <= usable * 0.2) continue;
        found.push_back({.severity = Severity::note,
                         .rule = "inverter.idle",
                         .subject = subject(i),
                         .figures = {{"idle a day", idle.value(), "Wh"}, {"usable in the bank", usable.value(), "Wh"}},
                         .sentence = "Idling " + words(i.idle_hours) + " a day it takes " + words(idle) + ", " +
                                     percent(idle / usable) + " of what the bank can give.",
                         .source = "power x time",
                         .mend = "switch it off when nothing runs on it, or use its search mode"});
    }
}

constexpr std::array<PlanRule, 5> rules{gives_the_power, starts_the_appliances, suits_the_system_voltage,
                                        stays_on_when_it_sags, does_not_idle_all_day};

}  // namespace

std::span<const PlanRule> inverter_rules() { return rules; }

}  // namespace amphora::design
