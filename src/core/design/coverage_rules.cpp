// What could not be checked, so that silence is not taken for a good word.
#include <algorithm>
#include <array>

#include "core/design/chemistry_limits.hpp"
#include "core/design/measured_draw.hpp"
#include "core/design/rules.hpp"

namespace amphora::design {
namespace {

bool described(const Plan& plan, const std::string& circuit) {
    return std::ranges::find(plan.circuits, circuit, &Circuit::name) != plan.circuits.end();
}

std::string joined(const std::vector<std::string>& names) {
    std::string list;
    for (const std::string& n : names) list += (list.empty() ? "" : ", ") + n;
    return list;
}

/// Appliances, inverters and chargers that hang on no circuit, and circuits without a cable.
void knows_every_wire(const Plan& plan, Findings& found) {
    std::vector<std::string> without;
    for (const Appliance& a : plan.appliances) {
        if (a.feed == Feed::battery && !described(plan, a.circuit)) without.push_back(a.name);
    }
    for (const Inverter& i : plan.inverters) {
        if (!described(plan, i.circuit)) without.push_back(i.name);
    }
    for (const Charger& c : plan.chargers) {
        if (!described(plan, c.circuit)) without.push_back(c.name);
    }
    for (const Circuit& c : plan.circuits) {
        if (!c.run) without.push_back("cable of " + c.name);
    }
    if (without.empty()) return;
    found.push_back({.severity = Severity::note,
                     .rule = "plan.wiring-unknown",
                     .subject = "wiring",
                     .figures = {{"without a cable", static_cast<double>(without.size()), ""}},
                     .sentence = "Cable and fuse are not described, and so not checked, for: " + joined(without) + ".",
                     .source = "this description",
                     .mend = "describe a [[circuit]] with cable, length and fuse for each and name it there; `amphora "
                             "size --write` proposes them"});
}

/// Lithium where it freezes, and nobody said how cold the battery gets.
void knows_the_cold(const Plan& plan, Findings& found) {
    const Bank& bank = plan.bank;
    if (is_lead_acid(bank.battery.chemistry) || bank.heated || bank.coldest.known() || plan.chargers.empty()) return;
    if (!plan.climate.given || std::ranges::all_of(plan.chargers, &Charger::stops_in_cold)) return;
    const Celsius from = limits(bank.battery.chemistry).charge_from;
    const sun::Month& coldest = *std::ranges::min_element(plan.climate.months, {}, &sun::Month::mean);
    const Celsius night = coldest.mean - coldest.swing * 0.5;
    if (night >= from) return;
    found.push_back(
        {.severity = Severity::note,
         .rule = "plan.cold-unknown",
         .subject = "bank",
         .figures = {{"usual night of the coldest month", night.value(), "°C"}, {"charging from", from.value(), "°C"}},
         .sentence = "It freezes there in winter, and it is not said how cold the battery gets or whether "
                     "the chargers stop then.",
         .source = "cell and module data sheets: no charging below 0 °C; climate as described",
         .mend = "say coldest_c in [battery], and stops_in_cold for each charger that does"});
}

/// A draw test far from what is described: another appliance, a fault, or a figure to correct.
void draws_as_described(const Plan& plan, Findings& found) {
    constexpr double far = 0.25;
    for (const Appliance& a : plan.appliances) {
        if (!a.measured || a.measured->described <= Watt(0.0)) continue;
        const MeasuredDraw& d = *a.measured;
        const Watt apart = d.mean > d.described ? d.mean - d.described : d.described - d.mean;
        if (apart <= d.described * far || (d.band.known() && apart <= d.band)) continue;
        found.push_back({.severity = Severity::note,
                         .rule = "plan.draw-differs",
                         .subject = "appliance " + a.name,
                         .figures = {{"measured", d.mean.value(), "W"}, {"described", d.described.value(), "W"}},
                         .sentence = "While on it draws " + measured_words(a) +
                                     ", at the battery; the plan goes by the measurement.",
                         .source = "the draw test in this description",
                         .mend =
                             "see that power_w, duty and fed_by are those of this appliance, and that it works as it "
                             "should; measure again with `amphora draw`"});
    }
}

constexpr std::array<PlanRule, 3> rules{knows_every_wire, knows_the_cold, draws_as_described};

}  // namespace

std::span<const PlanRule> coverage_rules() { return rules; }

}  // namespace amphora::design
