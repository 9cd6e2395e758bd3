#include "core/design/mean_day.hpp"

#include <algorithm>
#include <cmath>

#include "core/design/chemistry_limits.hpp"
#include "core/design/solar.hpp"

namespace amphora::design {

PowerByHour load_of_day(const Plan& plan, int month) {
    PowerByHour watts{};
    for (const Appliance& a : plan.appliances) {
        if (a.feed == Feed::shore || !a.months.at(static_cast<std::size_t>(month))) continue;
        const double behind = conversion_factor(plan, a);
        for (std::size_t h = 0; h < watts.size(); ++h) {
            const double running = a.power.value() * a.duty.value() * a.on_by_hour.at(h) * a.days_a_week / 7.0;
            watts.at(h) += a.count * (running + a.standby.value()) * behind;
        }
    }
    for (const Inverter& i : plan.inverters) {
        for (double& w : watts) w += i.idle.value() * i.idle_hours.value() / 24.0;
    }
    return watts;
}

PowerByHour steady_of_day(const Plan& plan, Volt battery) {
    PowerByHour watts{};
    for (const Charger& c : plan.chargers) {
        if (c.kind == ChargerKind::solar) continue;
        const double first = c.kind == ChargerKind::alternator ? 11.0 : 20.0;
        for (int h = 0; h < 24; ++h) {
            const double since = std::fmod(h - first + 24.0, 24.0);
            watts.at(static_cast<std::size_t>(h)) +=
                (c.current * battery).value() * std::clamp(c.hours_a_day.value() - since, 0.0, 1.0);
        }
    }
    return watts;
}

PowerByHour sun_of_day(const Plan& plan, int month) {
    PowerByHour watts{};
    if (!plan.climate.given) return watts;
    const sun::Month& m = plan.climate.months.at(static_cast<std::size_t>(month));
    const double clearness = sun::clearness(m, month);
    for (const Charger& c : plan.chargers) {
        if (c.kind != ChargerKind::solar) continue;
        const PanelDay day = panel_day(c.panels, sun::middle_of_month(month), m.latitude);
        for (int h = 0; h < 24; ++h) {
            watts.at(static_cast<std::size_t>(h)) +=
                panel_power(plan, c, on_panels(day, h, clearness), air_at(m, h)).value();
        }
    }
    return watts;
}

AtTheShunt at_the_shunt(const Plan& plan, int month) {
    const Battery& b = plan.bank.battery;
    const PowerByHour load = load_of_day(plan, month);
    const PowerByHour sun = sun_of_day(plan, month);
    const PowerByHour steady = steady_of_day(plan, limits(b.chemistry).rest_full * b.cells_in_series);
    WattHour in{};
    WattHour out{};
    for (std::size_t h = 0; h < load.size(); ++h) {
        const WattHour left = Watt(sun.at(h) + steady.at(h) - load.at(h)) * Hour(1.0);
        (left > WattHour(0.0) ? in : out) += left;
    }
    const WattHour taken = WattHour(0.0) - out;
    return {std::min(in, taken / charge_efficiency(b.chemistry).value()), taken};
}

}  // namespace amphora::design
