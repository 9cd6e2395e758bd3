// Whether what the chargers give covers what is taken, on mean days; how bad a run of dark days gets is for the
// simulation.
#include <algorithm>
#include <array>

#include "core/design/energy.hpp"
#include "core/design/rules.hpp"
#include "core/design/words.hpp"

namespace amphora::design {
namespace {

/// Silent where what a charger gives cannot be reckoned: the sun without a climate, an engine without its hours.
bool gives_are_known(const Plan& plan) {
    return !plan.chargers.empty() && std::ranges::all_of(plan.chargers, [&](const Charger& c) {
        return c.kind == ChargerKind::solar ? plan.climate.given : c.hours_a_day > Hour(0.0);
    });
}

void covers_the_day(const Plan& plan, Findings& found) {
    if (!gives_are_known(plan)) return;
    const Budget budget = budget_of(plan);
    std::string short_in;
    int worst = -1;
    for (int month = 0; month < 12; ++month) {
        const auto at = static_cast<std::size_t>(month);
        if (!plan.wishes.months[at]) continue;
        if (budget.balance(month) >= WattHour(0.0)) continue;
        short_in += (short_in.empty() ? "" : ", ") + std::string(month_names[at]);
        if (worst < 0 || budget.balance(month) < budget.balance(worst)) worst = month;
    }
    if (worst < 0) return;
    const bool all_in_all = budget.balance(plan.wishes.months) < WattHour(0.0);
    const auto at = static_cast<std::size_t>(worst);
    found.push_back(
        {.severity = all_in_all ? Severity::warning : Severity::note,
         .rule = "plan.short",
         .subject = "energy",
         .figures = {{"taken a day", budget.used[at].value(), "Wh"}, {"given a day", budget.given[at].value(), "Wh"}},
         .sentence = "On a mean day in " + std::string(month_names[at]) + " the chargers give " +
                     words(budget.given[at]) + " where " + words(budget.used[at]) +
                     " are taken, losses included; short in: " + short_in +
                     (all_in_all ? "; and over all the months of use they give less than is taken." : "."),
         .source = "conservation of energy; sun and losses as `amphora budget` reckons them",
         .mend = "more panels, more hours of another charger, or less use in those months; `amphora simulate` says how "
                 "often it runs dry"});
}

constexpr std::array<PlanRule, 1> rules{covers_the_day};

}  // namespace

std::span<const PlanRule> balance_rules() { return rules; }

}  // namespace amphora::design
