#include "core/design/sizing.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/design/chemistry_limits.hpp"
#include "core/design/energy.hpp"
#include "core/design/load.hpp"
#include "core/design/parts.hpp"
#include "core/design/solar.hpp"
#include "core/design/words.hpp"

namespace amphora::design {
namespace {

constexpr std::array<double, 17> capacities{20,  35,  50,  75,  100, 135, 150, 200, 230,
                                            280, 300, 400, 460, 560, 700, 840, 1000};
constexpr std::array<double, 13> controllers{10, 15, 20, 30, 40, 50, 60, 70, 85, 100, 120, 150, 200};
constexpr std::array<double, 13> inverters{150, 300, 500, 800, 1000, 1200, 1500, 2000, 2500, 3000, 4000, 5000, 8000};
constexpr std::array<double, 11> shunts{50, 100, 150, 200, 300, 400, 500, 600, 800, 1000, 1500};
constexpr std::array<double, 12> mains_chargers{5, 10, 15, 20, 25, 30, 40, 50, 60, 80, 100, 120};
constexpr double panel_step = 50.0;      // W
constexpr double most_panels = 10000.0;  // W

template <std::size_t N>
double next_of(const std::array<double, N>& series, double at_least) {
    const auto it = std::ranges::lower_bound(series, at_least * 0.999);
    return it == series.end() ? series.back() : *it;
}

/// The greatest mean day's use over the months of use.
WattHour hardest_day(const Plan& plan) {
    WattHour most{};
    for (int m = 0; m < 12; ++m) {
        if (plan.wishes.months.at(static_cast<std::size_t>(m))) most = std::max(most, daily_use(plan, m));
    }
    return most;
}

void size_inverter(Plan& plan) {
    const AcDemand asked = ac_demand(plan);
    if (asked.continuous <= Watt(0.0)) return;
    const double power = next_of(inverters, asked.continuous.value() * 1.1);
    if (plan.inverters.empty()) {
        Inverter i;
        i.idle = Watt(power * 0.008);
        i.idle_hours = Hour(6.0);
        plan.inverters.push_back(i);
    }
    Inverter& i = plan.inverters.front();
    double sized = power;
    while (sized * 2.0 < asked.surge.value() && sized < inverters.back()) sized = next_of(inverters, sized * 1.01);
    i.power = Watt(sized);
    i.surge = Watt(sized * 2.0);
}

void size_bank(Plan& plan, double days) {
    Battery& b = plan.bank.battery;
    const ChemistryLimits& chem = limits(b.chemistry);
    const double old = b.design_capacity.value();
    const Volt volt = chem.nominal * b.cells_in_series;
    const double by_energy = hardest_day(plan).value() * days / (1.0 - b.reserve.value()) / volt.value();
    const double by_current = load_of_bank(plan, Reckoning::expected).out.value() / chem.discharge_rate;
    b.design_capacity = AmpHour(next_of(capacities, std::max(by_energy, by_current)));
    if (plan.bank.price.known() && old > 0.0) plan.bank.price = plan.bank.price * (b.design_capacity.value() / old);
    plan.bank.short_circuit = Ampere::missing();
    plan.bank.most_discharge = Ampere::missing();
    plan.bank.most_charge = Ampere::missing();
    plan.bank.most_surge = Ampere::missing();
    plan.bank.strings = 1;
}

/// What the other chargers give on a mean day.
WattHour without_sun(const Plan& plan) {
    WattHour sum{};
    const Volt volt = limits(plan.bank.battery.chemistry).nominal * plan.bank.battery.cells_in_series;
    for (const Charger& c : plan.chargers) {
        if (c.kind != ChargerKind::solar) sum += c.current * volt * c.hours_a_day;
    }
    return sum;
}

/// Panels so that the mean day of each month of use, times `share`, gives what it takes.
void size_panels(Plan& plan, double share) {
    if (!plan.climate.given) return;
    auto solar = std::ranges::find(plan.chargers, ChargerKind::solar, &Charger::kind);
    if (solar == plan.chargers.end()) {
        Charger c;
        c.name = "solar";
        c.kind = ChargerKind::solar;
        plan.chargers.push_back(c);
        solar = plan.chargers.end() - 1;
    }
    Charger unit = *solar;
    unit.panels.peak = Watt(100.0);
    unit.current = Ampere(1e6);
    const double efficiency = charge_efficiency(plan.bank.battery.chemistry).value();
    double watts = 0.0;
    for (int m = 0; m < 12; ++m) {
        if (!plan.wishes.months.at(static_cast<std::size_t>(m))) continue;
        const double each = solar_day(plan, unit, m).value() / 100.0;
        const double wanted = (daily_use(plan, m).value() / efficiency - without_sun(plan).value()) * share;
        watts = std::max(watts, each > 0.01 ? wanted / each : wanted > 0.0 ? most_panels : 0.0);
    }
    watts = std::min(std::ceil(watts / panel_step) * panel_step, most_panels);
    const double panels_before = std::max(1, solar->panels.series * solar->panels.strings);
    const double each_before = solar->panels.peak.value() / panels_before;
    if (watts <= 0.0 && each_before <= 0.0) {
        plan.chargers.erase(solar);
        return;
    }
    solar->panels.peak = Watt(watts);
    if (each_before > 0.0) {  // the same panels, more of them, in strings as described
        const int count =
            static_cast<int>(std::ceil(watts / each_before / solar->panels.series)) * solar->panels.series;
        solar->panels.strings = std::max(1, count / solar->panels.series);
        solar->panels.peak = Watt(each_before * solar->panels.series * solar->panels.strings);
    }
    solar->current = Ampere(next_of(controllers, solar->panels.peak.value() / plan.nominal.value() / 1.15));
}

void size_shunt(Plan& plan) {
    const double load = load_of_bank(plan, Reckoning::expected).greatest().value();
    Shunt s;
    s.name = plan.shunts.empty() ? "shunt" : plan.shunts.front().name;
    s.rating = Ampere(next_of(shunts, load / s.continuous_share.value()));
    s.rated_drop = Volt(0.05);
    const bool described_fits = std::ranges::any_of(plan.shunts, [&](const Shunt& d) {
        return d.in_use && d.rating.known() && d.rating * d.continuous_share.value() >= Ampere(load);
    });
    if (described_fits) return;
    plan.shunts = {s};
}

/// Without sun something has to be plugged in: it puts a day's use back overnight, and lead-acid wants a tenth of its
/// capacity. A charger that is described stays as it is.
void size_shore(Plan& plan) {
    const bool charged = std::ranges::any_of(plan.chargers, [&](const Charger& c) {
        return c.kind == ChargerKind::solar ? plan.climate.given : c.hours_a_day > Hour(0.0);
    });
    if (charged) return;
    constexpr Hour night{8.0};
    const Battery& b = plan.bank.battery;
    const ChemistryLimits& chem = limits(b.chemistry);
    const Ampere to_refill = Ampere(hardest_day(plan).value() /
                                    (night.value() * plan.nominal.value() * charge_efficiency(b.chemistry).value()));
    const Ampere least = b.design_capacity / Hour(1.0) * (is_lead_acid(b.chemistry) ? 0.10 : 0.0);
    Charger c;
    c.name = "shore charger";
    c.kind = ChargerKind::shore;
    c.current = Ampere(next_of(mains_chargers, std::max(to_refill, least).value()));
    c.absorption = (chem.absorption_low + chem.absorption_high) * 0.5 * b.cells_in_series;
    c.float_voltage = (chem.float_low + chem.float_high) * 0.5 * b.cells_in_series;
    c.compensation_mv = chem.wants_compensation ? -4.0 : 0.0;
    c.hours_a_day = night + Hour(2.0);
    plan.chargers.push_back(c);
}

/// A bank that takes what its chargers give.
void grow_for_chargers(Plan& plan) {
    Battery& b = plan.bank.battery;
    const double least = chargers_at_once(plan).value() / limits(b.chemistry).charge_rate;
    const double before = b.design_capacity.value();
    if (before >= least) return;
    b.design_capacity = AmpHour(next_of(capacities, least));
    if (plan.bank.price.known()) plan.bank.price = plan.bank.price * (b.design_capacity.value() / before);
}

void size_parts(Plan& plan, double days, double sun_share) {
    size_inverter(plan);
    size_bank(plan, days);
    size_panels(plan, sun_share);
    size_shore(plan);
    grow_for_chargers(plan);
    size_shunt(plan);
}

/// More panels than the mean day asks for, in steps, until it runs dry in at most one year of ten; as few as the mean
/// day asks for where even three times as many do not help (a winter without sun).
double share_that_lasts(const Plan& plan, double days) {
    if (!plan.climate.given) return 1.0;
    constexpr double bearable = 0.10;
    for (const double share : {1.0, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0}) {
        Plan p = plan;
        size_parts(p, days, share);
        if (simulate(p, {.draws = 128}).any_dry <= bearable) return share;
    }
    return 1.0;
}

/// Fewer panels than `share`, but as many as give on mean days, over all the months of use, what is taken: below that
/// no battery lasts.
double leanest_share(const Plan& plan, double days, double share) {
    double leaner = share * 0.7;
    for (; plan.climate.given && leaner < share; leaner += 0.05) {
        Plan p = plan;
        size_parts(p, days, leaner);
        if (budget_of(p).balance(p.wishes.months) >= WattHour(0.0)) break;
    }
    return std::min(leaner, share);
}

Proposal build(const Plan& plan, std::string name, double days, double sun_share) {
    Proposal p;
    p.name = std::move(name);
    p.plan = plan;
    // Sizes that belong to the old parts are worked out anew.
    for (Circuit& c : p.plan.circuits) {
        if (c.purpose != Purpose::load) c.protection.reset();
    }
    size_parts(p.plan, days, sun_share);
    p.plan = with_wiring(std::move(p.plan));
    constexpr int draws = 256;
    p.outcome = simulate(p.plan, {.draws = draws});
    Money sum{};
    bool any = false;
    for (const Part& part : parts_of(p.plan)) {
        if (!part.price.known()) continue;
        sum += part.price;
        any = true;
    }
    p.price = any ? sum : Money::missing();
    return p;
}

std::string hours_words(const Outcome& o) {
    double hours = 0.0;
    for (const MonthOutcome& m : o.months) hours += m.hours_without.value();
    if (o.any_dry <= 0.0) return "never dry in " + std::to_string(o.years_simulated) + " simulated years";
    return (hours < 0.1 ? "less than 0.1" : digits(hours, 2)) +
           " hours without power in the mean year, dry at some time in " + percent(o.any_dry) + " of the years";
}

double panels_of(const Plan& plan) {
    double watts = 0.0;
    for (const Charger& c : plan.chargers) {
        if (c.kind == ChargerKind::solar) watts += c.panels.peak.value();
    }
    return watts;
}

void say_what_is_given_up(std::vector<Proposal>& all) {
    const double room = panels_of(all.front().plan);
    for (Proposal& p : all) {
        const bool sun_unknown = !p.plan.climate.given && panels_of(p.plan) > 0.0;
        p.gives_up = sun_unknown ? "how long it lasts cannot be said without a place" : hours_words(p.outcome);
        const double watts = panels_of(p.plan);
        if (watts > room * 1.05) p.gives_up += "; takes " + words(Watt(watts - room)) + " more of roof";
        const double capacity = p.plan.bank.battery.design_capacity.value();
        const double first = all.front().plan.bank.battery.design_capacity.value();
        if (capacity > first) p.gives_up += "; carries " + words(AmpHour(capacity - first)) + " more of battery";
        if (p.plan.wishes.budget.known() && p.price.known() && p.price > p.plan.wishes.budget) {
            p.gives_up +=
                "; " + digits((p.price - p.plan.wishes.budget).value()) + " " + p.plan.currency + " above the budget";
        }
    }
}

}  // namespace

std::vector<Proposal> propose(const Plan& plan) {
    const double days = std::max(0.5, plan.wishes.days_without_sun);
    std::vector<Proposal> all;
    const double share = share_that_lasts(plan, days);
    all.push_back(build(plan, "as wished", days, share));
    const double fewer_days = std::max(0.5, days * 0.6);
    all.push_back(build(plan, "leaner", fewer_days, leanest_share(plan, fewer_days, share)));
    all.push_back(build(plan, "sturdier", days * 1.5, share * 1.35));
    say_what_is_given_up(all);
    return all;
}

}  // namespace amphora::design
