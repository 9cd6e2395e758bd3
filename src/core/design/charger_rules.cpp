#include <algorithm>
#include <array>
#include <cmath>

#include "core/design/chemistry_limits.hpp"
#include "core/design/energy.hpp"
#include "core/design/load.hpp"
#include "core/design/rules.hpp"
#include "core/design/words.hpp"

namespace amphora::design {
namespace {

const ChemistryLimits& chemistry(const Plan& plan) { return limits(plan.bank.battery.chemistry); }

std::string subject(const Charger& c) { return "charger " + c.name; }

constexpr double slack = 1.004;  // 0.06 V on 14 V: the last digit of a setting

struct Setting {
    const char* what;
    const char* rule;
    Volt value;
    Volt low;  // for the whole bank
    Volt high;
};

void judge(const Plan& plan, const Charger& c, const Setting& s, Findings& found) {
    if (!s.value.known()) return;
    const bool high = s.value > s.high * slack;
    const bool low = s.value * slack < s.low;
    if (!high && !low) return;
    const std::string name(chemistry(plan).words);
    const std::string range = words(s.low) + " to " + words(s.high);
    found.push_back(
        {.severity = high ? Severity::danger : Severity::warning,
         .rule = s.rule,
         .subject = subject(c),
         .figures = {{s.what, s.value.value(), "V"}, {"lowest", s.low.value(), "V"}, {"highest", s.high.value(), "V"}},
         .sentence =
             std::string("Its ") + s.what + " voltage of " + words(s.value) + " is " + (high ? "above" : "below") +
             " the " + range + " that " + std::to_string(plan.bank.battery.cells_in_series) + " " + name +
             " cells take at 25 °C" +
             (high ? ": overcharging spoils the cells and can be dangerous." : ": the battery is never filled."),
         .source = "usual range of the chemistry, from makers' instructions (from memory); the battery's own "
                   "instructions win",
         .mend = "set the charger to a programme for " + name});
}

void suits_the_chemistry(const Plan& plan, Findings& found) {
    const ChemistryLimits& chem = chemistry(plan);
    const int cells = plan.bank.battery.cells_in_series;
    for (const Charger& c : plan.chargers) {
        judge(plan, c,
              {"absorption", "charger.absorption", c.absorption, chem.absorption_low * cells,
               chem.absorption_high * cells},
              found);
        judge(plan, c, {"float", "charger.float", c.float_voltage, chem.float_low * cells, chem.float_high * cells},
              found);
    }
}

void equalises_only_what_may_be(const Plan& plan, Findings& found) {
    const ChemistryLimits& chem = chemistry(plan);
    const Volt most = chem.equalise_high * plan.bank.battery.cells_in_series;
    for (const Charger& c : plan.chargers) {
        if (!c.equalise.known() || c.equalise <= Volt(0.0) || c.equalise <= most * slack) continue;
        found.push_back({.severity = Severity::danger,
                         .rule = "charger.equalise",
                         .subject = subject(c),
                         .figures = {{"equalising", c.equalise.value(), "V"}, {"most", most.value(), "V"}},
                         .sentence = most > Volt(0.0) ? "It equalises at " + words(c.equalise) + ", above the " +
                                                            words(most) + " that these cells stand."
                                                      : std::string("It equalises at ") + words(c.equalise) + "; " +
                                                            chem.words + " batteries must not be equalised.",
                         .source = "makers' instructions (from memory): only flooded lead-acid is equalised",
                         .mend = "switch equalising off"});
    }
}

void follows_the_temperature(const Plan& plan, Findings& found) {
    const bool wanted = chemistry(plan).wants_compensation;
    for (const Charger& c : plan.chargers) {
        const double slope = c.compensation_mv;
        if (!wanted && slope != 0.0) {
            found.push_back({.severity = Severity::warning,
                             .rule = "charger.compensation",
                             .subject = subject(c),
                             .figures = {{"slope", slope, "mV/K/cell"}},
                             .sentence = std::string("It changes its voltage with temperature, which is for lead-acid: "
                                                     "in the cold it overcharges ") +
                                         chemistry(plan).words + " cells.",
                             .source = "encyclopedia article on LFP: no temperature-based compensation",
                             .mend = "set the temperature compensation to 0"});
        }
        if (wanted && slope > 0.0) {
            found.push_back(
                {.severity = Severity::danger,
                 .rule = "charger.compensation",
                 .subject = subject(c),
                 .figures = {{"slope", slope, "mV/K/cell"}},
                 .sentence =
                     "Its compensation raises the voltage in the heat; lead-acid wants it lowered, or it runs away.",
                 .source = "-3 to -5 mV per kelvin and cell (2.30 V at 25 °C, 2.27 V at 35 °C)",
                 .mend = "give the slope as a negative figure, -3 to -5"});
        }
        const bool hot_or_cold = (plan.bank.warmest.known() && plan.bank.warmest > Celsius(35.0)) ||
                                 (plan.bank.coldest.known() && plan.bank.coldest < Celsius(5.0));
        if (wanted && slope == 0.0 && hot_or_cold) {
            found.push_back(
                {.severity = Severity::warning,
                 .rule = "charger.compensation",
                 .subject = subject(c),
                 .figures = {},
                 .sentence =
                     "Without temperature compensation it overcharges in the heat and undercharges in the cold.",
                 .source = "-3 to -5 mV per kelvin and cell (2.30 V at 25 °C, 2.27 V at 35 °C)",
                 .mend = "fit its temperature sensor to the battery and set -3 to -5 mV per kelvin and cell"});
        }
    }
}

void holds_absorption_long_enough(const Plan& plan, Findings& found) {
    const ChemistryLimits& chem = chemistry(plan);
    for (const Charger& c : plan.chargers) {
        if (!c.absorption_time.known()) continue;
        const bool is_short = c.absorption_time < chem.absorption_least * 0.99;
        if (!is_short && c.absorption_time <= chem.absorption_most * 1.01) continue;
        found.push_back(
            {.severity = is_short ? Severity::warning : Severity::note,
             .rule = "charger.absorption-time",
             .subject = subject(c),
             .figures = {{"absorption", c.absorption_time.value(), "h"},
                         {"least", chem.absorption_least.value(), "h"},
                         {"most", chem.absorption_most.value(), "h"}},
             .sentence =
                 words(c.absorption_time) + " of absorption is " +
                 (is_short ? "too short to fill " : "longer than helps ") + chem.words +
                 (is_short ? ": the last part goes in slowly, and what is never filled sulphates or never shows full."
                           : "."),
             .source = "common practice, no single source; the battery's own instructions win",
             .mend = "set it to between " + words(chem.absorption_least) + " and " + words(chem.absorption_most)});
    }
}

/// Does a typical day leave time for it?
void has_time_for_absorption(const Plan& plan, Findings& found) {
    const ChemistryLimits& chem = chemistry(plan);
    if (!is_lead_acid(plan.bank.battery.chemistry) || plan.chargers.empty() || plan.appliances.empty()) return;
    const AmpHour used(daily_use(plan, 3).value() / plan.nominal.value());
    Hour best{-1.0e9};
    for (const Charger& c : plan.chargers) {
        if (c.current <= Ampere(0.0)) continue;
        const Hour window = charging_window(plan, c);
        if (window <= Hour(0.0)) continue;
        const double share_by_current = 0.8;  // lead-acid takes the rest at falling current
        best = std::max(best, window - (used * share_by_current) / c.current);
    }
    if (best < Hour(-1.0e8) || best >= chem.absorption_least) return;
    found.push_back(
        {.severity = Severity::warning,
         .rule = "charger.day-too-short",
         .subject = "chargers",
         .figures = {{"used a day", used.value(), "Ah"},
                     {"left for absorption", std::max(best, Hour(0.0)).value(), "h"},
                     {"wanted", chem.absorption_least.value(), "h"}},
         .sentence = "A typical day leaves " + words(std::max(best, Hour(0.0))) +
                     " for absorption after putting back what was used; " + chem.words + " wants " +
                     words(chem.absorption_least) + ", or it sulphates.",
         .source =
             "Hund (Sandia): incomplete recharge is the main cause of early capacity loss; times from common practice",
         .mend = "a stronger charger, a longer charge once a week from shore, or less use"});
}

void is_strong_enough(const Plan& plan, Findings& found) {
    const ChemistryLimits& chem = chemistry(plan);
    Ampere sum{};
    for (const Charger& c : plan.chargers) sum += c.current;
    const Ampere least = plan.bank.battery.design_capacity / Hour(1.0) * chem.least_charge_rate;
    if (plan.chargers.empty() || sum >= least || !is_lead_acid(plan.bank.battery.chemistry)) return;
    found.push_back({.severity = Severity::warning,
                     .rule = "charger.weak",
                     .subject = "chargers",
                     .figures = {{"all chargers", sum.value(), "A"}, {"least", least.value(), "A"}},
                     .sentence = "All chargers together give " + words(sum) +
                                 "; lead-acid of this size wants at least " + words(least) +
                                 " at times, or it is never well mixed and filled.",
                     .source = "makers' advice of 8 to 10 % of capacity (common practice, no source)",
                     .mend = "a stronger charger"});
}

/// A lithium bank takes all an alternator has, until the alternator burns.
void spares_the_alternator(const Plan& plan, Findings& found) {
    for (const Charger& c : plan.chargers) {
        if (c.kind != ChargerKind::alternator) continue;
        if (!c.limits_current && !is_lead_acid(plan.bank.battery.chemistry)) {
            found.push_back(
                {.severity = Severity::danger,
                 .rule = "charger.alternator",
                 .subject = subject(c),
                 .figures = {},
                 .sentence = "Nothing limits the current between alternator and lithium bank: the alternator runs at "
                             "its limit until it overheats, "
                             "and the voltage is not the battery's.",
                 .source = "makers' instructions for alternator charging (common practice, no source)",
                 .mend = "a charger between the two, with its current below half of the alternator's rating"});
        } else if (c.alternator_rating.known() && c.current > c.alternator_rating * 0.6) {
            found.push_back(
                {.severity = Severity::warning,
                 .rule = "charger.alternator",
                 .subject = subject(c),
                 .figures = {{"charger", c.current.value(), "A"}, {"alternator", c.alternator_rating.value(), "A"}},
                 .sentence = words(c.current) + " for hours is " + percent(c.current / c.alternator_rating) +
                             " of the alternator's rating; hot and idling "
                             "it gives 50 to 70 %.",
                 .source = "alternator derating when hot (from memory)",
                 .mend = "limit the charger to half of the alternator's rating"});
        }
    }
}

/// Without its hours the plan reckons as if it were never switched on.
void says_its_hours(const Plan& plan, Findings& found) {
    for (const Charger& c : plan.chargers) {
        if (c.kind == ChargerKind::solar || c.hours_a_day > Hour(0.0)) continue;
        found.push_back({.severity = Severity::note,
                         .rule = "charger.no-hours",
                         .subject = subject(c),
                         .figures = {{"hours a day", 0.0, "h"}},
                         .sentence = std::string("It is not said how long it charges on a mean day, so that it gives "
                                                 "nothing in budget, simulation and sizing."),
                         .source = "this description",
                         .mend = c.kind == ChargerKind::alternator ? "say daily_h: hours driven on a mean day"
                                                                   : "say daily_h: hours plugged in, or the generator "
                                                                     "running, on a mean day; leave it if it is only "
                                                                     "for emergencies"});
    }
}

constexpr std::array<PlanRule, 8> rules{
    suits_the_chemistry,     equalises_only_what_may_be, follows_the_temperature, holds_absorption_long_enough,
    has_time_for_absorption, is_strong_enough,           spares_the_alternator,   says_its_hours,
};

}  // namespace

std::span<const PlanRule> charger_rules() { return rules; }

}  // namespace amphora::design
