#include <algorithm>
#include <array>
#include <cmath>

#include "core/design/chemistry_limits.hpp"
#include "core/design/load.hpp"
#include "core/design/rules.hpp"
#include "core/design/words.hpp"

namespace amphora::design {
namespace {

const ChemistryLimits& chemistry(const Plan& plan) { return limits(plan.bank.battery.chemistry); }

Ampere by_rate(const Plan& plan, double rate) { return plan.bank.battery.design_capacity / Hour(1.0) * rate; }

std::string limit_source(bool given) {
    return given ? "the battery's own limit, as described"
                 : "usual limit of the chemistry (common practice, no source); the data sheet wins";
}

void gives_the_load(const Plan& plan, Findings& found) {
    const Ampere load = load_of_bank(plan, Reckoning::expected).out;
    const bool given = plan.bank.most_discharge.known();
    const Ampere most = given ? plan.bank.most_discharge : by_rate(plan, chemistry(plan).discharge_rate);
    if (load <= most) return;
    found.push_back({.severity = Severity::warning,
                     .rule = "bank.discharge",
                     .subject = "bank",
                     .figures = {{"load", load.value(), "A"}, {"most", most.value(), "A"}},
                     .sentence = words(load) + " may be drawn; the bank is good for " + words(most) +
                                 (is_lead_acid(plan.bank.battery.chemistry)
                                      ? ", and beyond it the voltage sags and most of the capacity stays inside."
                                      : ", and beyond it the management system disconnects."),
                     .source = limit_source(given),
                     .mend = "a larger bank, more strings, or fewer large loads at once"});
}

/// What is described behind the inverter may be little today; the inverter gives its rating to whatever is plugged in.
void outlasts_its_inverter(const Plan& plan, Findings& found) {
    const bool given = plan.bank.most_discharge.known();
    const Ampere most = given ? plan.bank.most_discharge : by_rate(plan, chemistry(plan).discharge_rate);
    constexpr double about = 1.1;
    const Ampere possible = load_of_bank(plan, Reckoning::installed).out;
    if (load_of_bank(plan, Reckoning::expected).out > most || possible <= most * about) return;
    constexpr double far = 1.5;
    found.push_back(
        {.severity = given && possible > most * far ? Severity::warning : Severity::note,
         .rule = "bank.inverter",
         .subject = "bank",
         .figures = {{"inverter at its rating, with the rest", possible.value(), "A"}, {"most", most.value(), "A"}},
         .sentence = "What is described asks for less, but the inverter at its rating makes it " + words(possible) +
                     "; the bank is good for " + words(most) +
                     ": the first large thing that is plugged in switches everything off.",
         .source = "power / (efficiency x voltage); " + limit_source(given),
         .mend = "a larger bank or a smaller inverter, or keep large appliances off it"});
}

void stands_the_surge(const Plan& plan, Findings& found) {
    const Load l = load_of_bank(plan, Reckoning::expected);
    if (!plan.bank.most_surge.known() || l.out_surge <= plan.bank.most_surge) return;
    found.push_back({.severity = Severity::warning,
                     .rule = "bank.surge",
                     .subject = "bank",
                     .figures = {{"surge", l.out_surge.value(), "A"}, {"most", plan.bank.most_surge.value(), "A"}},
                     .sentence = "A surge of " + words(l.out_surge) + " is above what the bank gives for a moment (" +
                                 words(plan.bank.most_surge) + "): everything goes dark when that appliance starts.",
                     .source = limit_source(true),
                     .mend = "a battery with a higher surge limit, or appliances that start softly"});
}

void is_charged_gently(const Plan& plan, Findings& found) {
    const Ampere sum = chargers_at_once(plan);
    const bool given = plan.bank.most_charge.known();
    const Ampere most = given ? plan.bank.most_charge : by_rate(plan, chemistry(plan).charge_rate);
    const double margin = given ? 1.02 : 1.10;  // a usual limit is no sharp one
    if (sum <= most * margin) return;
    found.push_back({.severity = Severity::warning,
                     .rule = "bank.charge",
                     .subject = "bank",
                     .figures = {{"chargers at once", sum.value(), "A"}, {"most", most.value(), "A"}},
                     .sentence = "The chargers that may run at once give up to " + words(sum) + "; the bank takes " +
                                 words(most) + ".",
                     .source = limit_source(given),
                     .mend = "limit the chargers' current in their settings, or a larger bank"});
}

void is_not_charged_in_the_cold(const Plan& plan, Findings& found) {
    const ChemistryLimits& chem = chemistry(plan);
    const Bank& bank = plan.bank;
    if (is_lead_acid(bank.battery.chemistry) || bank.heated || plan.chargers.empty()) return;
    if (!bank.coldest.known() || bank.coldest >= chem.charge_from) return;
    if (std::ranges::all_of(plan.chargers, &Charger::stops_in_cold)) return;
    const bool last_line = bank.management_system.value_or(false);
    found.push_back(
        {.severity = last_line ? Severity::warning : Severity::danger,
         .rule = "bank.cold",
         .subject = "bank",
         .figures = {{"coldest", bank.coldest.value(), "°C"}, {"charging from", chem.charge_from.value(), "°C"}},
         .sentence = "The battery gets as cold as " + words(bank.coldest) + " and may be charged then; below " +
                     words(chem.charge_from) + " that plates metal inside " + chem.words + " cells, for good" +
                     (last_line ? ". Only its management system stands between." : "."),
         .source = "cell and module data sheets: no charging below 0 °C",
         .mend = "chargers that stop in the cold by a sensor at the battery, or a heated battery, or a warmer place "
                 "for it"});
}

void can_disconnect_itself(const Plan& plan, Findings& found) {
    if (is_lead_acid(plan.bank.battery.chemistry) || plan.bank.management_system.value_or(false)) return;
    const bool said = plan.bank.management_system.has_value();
    found.push_back(
        {.severity = said ? Severity::danger : Severity::note,
         .rule = "bank.management",
         .subject = "bank",
         .figures = {},
         .sentence =
             said ? "A lithium bank without a management system that can disconnect it burns or dies from one bad cell."
                  : "It is not said whether the lithium bank has a management system that can disconnect it; it wants "
                    "one.",
         .source = "battery makers' instructions; ABYC E-13 (from memory)",
         .mend = said ? "fit one that can disconnect charge and load"
                      : "say management_system = true once you have checked"});
}

void has_few_strings(const Plan& plan, Findings& found) {
    const ChemistryLimits& chem = chemistry(plan);
    const Bank& bank = plan.bank;
    if (bank.strings > chem.most_strings) {
        found.push_back({.severity = Severity::warning,
                         .rule = "bank.strings",
                         .subject = "bank",
                         .figures = {{"strings", static_cast<double>(bank.strings), ""},
                                     {"most", static_cast<double>(chem.most_strings), ""}},
                         .sentence = std::to_string(bank.strings) +
                                     " strings in parallel share current unevenly and wear out one after the other.",
                         .source = "battery makers' advice (common practice, no source)",
                         .mend = "fewer, larger batteries; equal cables from a bar to each string"});
    }
    const AmpHour large(500.0);
    if (bank.strings < 2 || bank.string_protection || bank.battery.design_capacity <= large) return;
    found.push_back({.severity = Severity::warning,
                     .rule = "bank.string-fuse",
                     .subject = "bank",
                     .figures = {{"capacity", bank.battery.design_capacity.value(), "Ah"},
                                 {"strings", static_cast<double>(bank.strings), ""}},
                     .sentence = "One failing battery would be fed by all the others without a fuse between.",
                     .source = "ABYC E-11 (July 2025) 11.10.1.4.1: parallel banks above 500 Ah",
                     .mend = "a fuse in each string, at its positive post"});
}

void suits_the_system_voltage(const Plan& plan, Findings& found) {
    const Volt bank = chemistry(plan).nominal * plan.bank.battery.cells_in_series;
    const double ratio = bank / plan.nominal;
    if (ratio > 0.88 && ratio < 1.25) return;
    found.push_back({.severity = Severity::danger,
                     .rule = "bank.voltage",
                     .subject = "bank",
                     .figures = {{"bank", bank.value(), "V"}, {"system", plan.nominal.value(), "V"}},
                     .sentence = std::to_string(plan.bank.battery.cells_in_series) + " " + chemistry(plan).words +
                                 " cells in series make " + words(bank) + ", the system is meant for " +
                                 words(plan.nominal) + ".",
                     .source = "nominal cell voltages, IEC 60050-482 sense",
                     .mend = "correct cells_in_series or nominal_voltage_v"});
}

void keeps_a_reserve(const Plan& plan, Findings& found) {
    const double least = chemistry(plan).least_reserve;
    const double reserve = plan.bank.battery.reserve.value();
    if (reserve >= least - 1e-9) return;
    found.push_back({.severity = reserve < least / 2.0 - 1e-9 ? Severity::warning : Severity::note,
                     .rule = "bank.reserve",
                     .subject = "bank",
                     .figures = {{"reserve", reserve, ""}, {"advised", least, ""}},
                     .sentence = "A reserve of " + percent(reserve) + " lets lead-acid be discharged to " +
                                 percent(1.0 - reserve) + "; its life in cycles falls to a fraction of that at half.",
                     .source = "makers' cycle-life curves (from memory)",
                     .mend = "set reserve = 0.5 and size the bank for it"});
}

constexpr std::array<PlanRule, 9> rules{gives_the_load,    outlasts_its_inverter,      stands_the_surge,
                                        is_charged_gently, is_not_charged_in_the_cold, can_disconnect_itself,
                                        has_few_strings,   suits_the_system_voltage,   keeps_a_reserve};

}  // namespace

std::span<const PlanRule> bank_rules() { return rules; }

}  // namespace amphora::design
