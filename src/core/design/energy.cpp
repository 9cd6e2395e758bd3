#include "core/design/energy.hpp"

#include <algorithm>
#include <numeric>

#include "core/design/chemistry_limits.hpp"
#include "core/design/drop.hpp"
#include "core/design/load.hpp"
#include "core/design/measured_draw.hpp"
#include "core/design/solar.hpp"

namespace amphora::design {
namespace {

constexpr int april = 3;

WattHour inverter_idle(const Plan& plan) {
    WattHour sum{};
    for (const Inverter& i : plan.inverters) sum += i.idle * i.idle_hours;
    return sum;
}

/// Energy lost in the cable of an appliance's circuit on its on-time.
WattHour cable_loss(const Plan& plan, const Appliance& a, int month) {
    const auto c = std::ranges::find(plan.circuits, a.circuit, &Circuit::name);
    if (a.feed != Feed::battery || c == plan.circuits.end() || !c->run) return {};
    const double share = voltage_drop(*c->run, a.power / plan.nominal) / plan.nominal;
    return daily_use(a, month) * share;
}

Volt bank_voltage(const Plan& plan) {
    return limits(plan.bank.battery.chemistry).nominal * plan.bank.battery.cells_in_series;
}

WattHour given_by(const Plan& plan, const Charger& c, int month) {
    if (c.kind == ChargerKind::solar) return plan.climate.given ? solar_day(plan, c, month) : WattHour{};
    return c.current * bank_voltage(plan) * c.hours_a_day;
}

ByMonth each_month(auto figure) {
    ByMonth out{};
    for (int m = 0; m < 12; ++m) out.at(static_cast<std::size_t>(m)) = figure(m);
    return out;
}

void sum_up(const std::vector<BudgetLine>& lines, ByMonth& total) {
    for (const BudgetLine& l : lines) {
        for (std::size_t m = 0; m < total.size(); ++m) total.at(m) += l.per_day.at(m);
    }
}

/// What conversion eats of what passes the inverter.
WattHour conversion_loss(const Plan& plan, int month) {
    WattHour sum{};
    for (const Appliance& a : plan.appliances) {
        if (a.feed == Feed::inverter) sum += daily_use(a, month) * (conversion_factor(plan, a) - 1.0);
    }
    return sum;
}

}  // namespace

WattHour BudgetLine::mean() const { return std::accumulate(per_day.begin(), per_day.end(), WattHour{}) / 12.0; }

WattHour Budget::balance(int month) const {
    const auto m = static_cast<std::size_t>(month);
    return given.at(m) - used.at(m);
}

WattHour Budget::balance(const Months& months) const {
    WattHour sum{};
    for (int month = 0; month < 12; ++month) {
        if (months[static_cast<std::size_t>(month)]) sum += balance(month);
    }
    return sum;
}

WattHour daily_use(const Appliance& a, int month) {
    if (!a.months.at(static_cast<std::size_t>(month))) return {};
    const Hour on(std::accumulate(a.on_by_hour.begin(), a.on_by_hour.end(), 0.0));
    const WattHour running = a.power * a.duty.value() * on * (a.days_a_week / 7.0);
    return (running + a.standby * Hour(24.0)) * a.count;
}

WattHour daily_use(const Plan& plan, int month) {
    WattHour sum = inverter_idle(plan) + conversion_loss(plan, month);
    for (const Appliance& a : plan.appliances) {
        if (a.feed != Feed::shore) sum += daily_use(a, month) + cable_loss(plan, a, month);
    }
    return sum;
}

double conversion_factor(const Plan& plan, const Appliance& a) {
    if (a.feed != Feed::inverter) return 1.0;
    if (plan.inverters.empty()) return 1.0 / Inverter{}.efficiency.value();
    return 1.0 / efficiency_at(plan.inverters.front(), a.power * a.count).value();
}

WattHour usable(const Plan& plan) {
    const Battery& b = plan.bank.battery;
    return b.design_capacity * (1.0 - b.reserve.value()) * bank_voltage(plan);
}

Fraction charge_efficiency(Chemistry chemistry) {
    switch (chemistry) {
        case Chemistry::flooded:
            return Fraction(0.75);
        case Chemistry::agm:
            return Fraction(0.84);
        case Chemistry::gel:
            return Fraction(0.82);
        default:
            return Fraction(0.94);
    }
}

Budget budget_of(const Plan& plan) {
    Budget b;
    for (const Appliance& a : plan.appliances) {
        if (a.feed == Feed::shore) continue;
        b.uses.push_back({a.name, each_month([&](int m) { return daily_use(a, m); }), measured_words(a)});
    }
    if (!plan.inverters.empty()) {
        b.losses.push_back({"inverter idling", each_month([&](int) { return inverter_idle(plan); })});
        b.losses.push_back({"inverter conversion", each_month([&](int m) { return conversion_loss(plan, m); })});
    }
    b.losses.push_back({"cables", each_month([&](int m) {
                            WattHour sum{};
                            for (const Appliance& a : plan.appliances) sum += cable_loss(plan, a, m);
                            return sum;
                        })});
    sum_up(b.uses, b.used);
    sum_up(b.losses, b.used);
    // Every watt-hour drawn has to be put back with its charging loss.
    const double lost = 1.0 / charge_efficiency(plan.bank.battery.chemistry).value() - 1.0;
    BudgetLine charging{"charging", {}};
    for (std::size_t m = 0; m < 12; ++m) {
        b.days_of_battery.at(m) = b.used.at(m) > WattHour(0.0) ? usable(plan) / b.used.at(m) : 0.0;
        charging.per_day.at(m) = b.used.at(m) * lost;
        b.used.at(m) += charging.per_day.at(m);
    }
    b.losses.push_back(std::move(charging));
    for (const Charger& c : plan.chargers)
        b.gives.push_back({c.name, each_month([&](int m) { return given_by(plan, c, m); })});
    sum_up(b.gives, b.given);
    return b;
}

Hour charging_window(const Plan& plan, const Charger& charger) {
    if (charger.kind != ChargerKind::solar) return charger.hours_a_day;
    if (!plan.climate.given) return Hour(6.0);
    const sun::Month& m = plan.climate.months.at(april);
    const PanelDay day = panel_day(charger.panels, sun::middle_of_month(april), m.latitude);
    const double k = sun::clearness(m, april);
    WattPerSquareMetre most{};
    for (int h = 0; h < 24; ++h) most = std::max(most, on_panels(day, h, k));
    Hour hours{};
    for (int h = 0; h < 24; ++h) {
        if (on_panels(day, h, k) >= most * 0.3 && most.value() > 0.0) hours += Hour(1.0);
    }
    return hours;
}

}  // namespace amphora::design
