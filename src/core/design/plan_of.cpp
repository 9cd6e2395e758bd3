#include "core/design/plan_of.hpp"

#include <algorithm>
#include <cmath>

#include "core/design/measured_draw.hpp"

namespace amphora::design {
namespace {

namespace d = described;

Months months_of(const std::vector<MonthNumber>& list) {
    if (list.empty()) return whole_year;
    Months on{};
    for (const MonthNumber m : list) {
        const int i = static_cast<int>(m.value()) - 1;
        if (i >= 0 && i < 12) on.at(static_cast<std::size_t>(i)) = true;
    }
    return on;
}

/// Shares of each clock hour from pairs of hours; a pair that ends before it begins goes over midnight.
std::array<double, 24> hours_on(const d::Appliance& a) {
    std::array<double, 24> share{};
    if (a.on.size() < 2) share.fill(1.0);
    const auto add = [&](double from, double to) {
        for (std::size_t h = 0; h < 24; ++h) {
            const auto start = static_cast<double>(h);
            share.at(h) = std::min(1.0, share.at(h) + std::max(0.0, std::min(to, start + 1.0) - std::max(from, start)));
        }
    };
    for (std::size_t i = 0; i + 1 < a.on.size(); i += 2) {
        const double from = a.on[i].value();
        const double to = a.on[i + 1].value();
        add(from, to > from ? to : 24.0);
        if (to < from) add(0.0, to);
    }
    if (!a.hours_a_day.known()) return share;
    double sum = 0.0;
    for (const double s : share) sum += s;
    if (sum > 0.0) {
        for (double& s : share) s = std::min(1.0, s * a.hours_a_day.value() / sum);
    }
    return share;
}

Appliance appliance(const System& s, const d::Appliance& a) {
    Appliance out;
    out.name = a.name;
    out.circuit = a.circuit;
    out.feed = static_cast<Feed>(a.feed);
    out.count = a.count;
    out.power = a.power.known() ? a.power : a.current.known() ? a.current * s.nominal_voltage : Watt(0.0);
    out.standby = a.standby;
    out.surge = a.surge;
    out.duty = a.duty;
    out.on_by_hour = hours_on(a);
    out.days_a_week = a.days_a_week.value();
    out.months = months_of(a.months);
    if (a.measured.known() && out.feed != Feed::shore) out.measured = MeasuredDraw{a.measured, a.measured_band};
    out.price = a.price;
    return out;
}

std::optional<FuseKind> kind_named(std::string_view name) {
    const auto it = std::ranges::find(fuse_kinds(), name, &FuseKindData::name);
    if (it == fuse_kinds().end()) return std::nullopt;
    return it->kind;
}

std::optional<Run> run_of(const d::Circuit& c) {
    const auto size = !c.gauge.empty() ? gauge_size(c.gauge) : metric_size(c.cable);
    if (!size || !c.length.known()) return std::nullopt;
    return Run{
        *size,
        c.length,
        {.insulation = c.insulation, .ambient = c.ambient, .engine_space = c.engine_space, .bundled = c.bundled}};
}

std::optional<Protection> protection_of(const d::Circuit& c) {
    if (!c.fuse.known()) return std::nullopt;
    Protection p;
    p.kind = kind_named(c.fuse_kind).value_or(FuseKind::blade);
    p.rating = c.fuse;
    p.interrupts = c.fuse_interrupts;
    p.highest = c.fuse_voltage;
    p.from_source = c.fuse_from_source;
    return p;
}

Circuit circuit(const d::Circuit& c) {
    Circuit out;
    out.name = c.name;
    out.from = c.from;
    out.purpose = static_cast<Purpose>(c.purpose);
    out.critical = c.critical;
    out.run = run_of(c);
    out.sheathed = c.sheathed;
    out.protection = protection_of(c);
    out.continuous = c.continuous;
    out.surge = c.surge;
    out.negative = static_cast<Negative>(c.negative);
    out.lug = c.lug;
    out.price = c.price;
    return out;
}

Inverter inverter(const d::Inverter& i) {
    Inverter out;
    if (!i.name.empty()) out.name = i.name;
    out.circuit = i.circuit;
    out.power = i.power;
    out.surge = i.surge;
    out.idle = i.idle;
    out.idle_hours = i.idle_hours;
    out.efficiency = i.efficiency;
    out.curve_load = i.curve_load;
    out.curve_efficiency = i.curve_efficiency;
    out.cut_off = i.cut_off;
    out.highest_input = i.highest_input;
    out.price = i.price;
    return out;
}

Panels panels_of(const d::Charger& c) {
    Panels p;
    if (c.panel_power.known()) p.peak = c.panel_power * c.panels;
    p.series = c.in_series;
    p.strings = std::max(1, c.panels / std::max(1, c.in_series));
    p.open_circuit = c.panel_open_circuit;
    p.at_peak = c.panel_at_peak;
    p.short_circuit = c.panel_short_circuit;
    p.tilt = c.tilt;
    p.azimuth = c.azimuth;
    p.shade = c.shade.value();
    p.horizon = c.horizon;
    p.mounting = static_cast<sun::Mounting>(c.mounting);
    p.per_kelvin = c.power_by_heat.value();
    p.string_fuses = c.string_fuses;
    p.price_per_panel = c.panel_price;
    return p;
}

Charger charger(const d::Charger& c) {
    Charger out;
    out.name = c.name;
    out.circuit = c.circuit;
    out.kind = static_cast<ChargerKind>(c.kind);
    out.current = c.current;
    out.absorption = c.absorption;
    out.absorption_time = c.absorption_time;
    out.float_voltage = c.float_voltage;
    out.equalise = c.equalise;
    out.compensation_mv = c.compensation.value() * 1000.0;
    out.stops_in_cold = c.stops_in_cold;
    if (c.kind == d::ChargerKind::solar) out.panels = panels_of(c);
    out.controller = static_cast<ControllerKind>(c.controller);
    out.highest_input = c.highest_input;
    out.alternator_rating = c.alternator;
    out.limits_current = c.limits_current;
    out.hours_a_day = c.hours_a_day;
    out.price = c.price;
    return out;
}

Shunt shunt(const Meter& m, const d::MeterDetail& more) {
    Shunt out;
    out.name = m.name;
    out.circuit = more.circuit;
    out.rating = m.rated_current;
    out.rated_drop = m.rated_drop;
    out.continuous_share = more.continuous_share;
    out.highest = more.highest;
    out.offset = more.offset;
    out.resolution = more.resolution;
    out.in_use = more.in_use;
    out.price = more.price;
    return out;
}

Bank bank(const System& s) {
    const d::Bank& b = s.equipment.bank;
    Bank out;
    out.battery = s.battery;
    out.strings = b.strings;
    out.short_circuit = b.short_circuit;
    out.most_charge = b.most_charge;
    out.most_discharge = b.most_discharge;
    out.most_surge = b.most_surge;
    out.management_system = b.management_system;
    out.string_protection = b.string_fuses;
    out.heated = b.heated;
    out.coldest = b.coldest;
    out.warmest = b.warmest;
    out.price = b.price;
    return out;
}

/// The clearness of the nearest known place, under the sun of the latitude that was given.
sun::Climate near(const Place& place) {
    const sun::KnownPlace& known = sun::nearest_known(place);
    sun::Climate c = sun::climate_of(known);
    for (int m = 0; m < 12; ++m) {
        sun::Month& month = c.months.at(static_cast<std::size_t>(m));
        const double k = sun::clearness(month, m);
        month.latitude = place.latitude;
        month.longitude = place.longitude;
        month.global_per_day = sun::day_of_year(sun::middle_of_month(m), place.latitude).extraterrestrial * k;
    }
    c.source = "clearness of " + std::string(known.name) + " at your latitude; " + c.source;
    c.trust = 0.25;
    return c;
}

sun::Climate climate(const System& s) {
    const d::Climate said = s.equipment.climate.value_or(d::Climate{});
    sun::Climate c;
    const auto known = sun::known_place(said.known_place);
    if (known) {
        c = sun::climate_of(*known);
        if (s.place) {
            for (sun::Month& m : c.months) m.latitude = s.place->latitude;
        }
    } else if (s.place) {
        c = near(*s.place);
    }
    if (said.global_per_day.size() == 12) {
        for (std::size_t m = 0; m < 12; ++m) c.months.at(m).global_per_day = said.global_per_day[m];
        c.given = s.place.has_value() || known.has_value();
        c.source = "monthly means given in the description";
        c.trust = 0.10;
    }
    if (said.mean.size() == 12) {
        for (std::size_t m = 0; m < 12; ++m) c.months.at(m).mean = said.mean[m];
    }
    for (const d::Stay& stay : s.equipment.route) {
        const auto there = sun::known_place(stay.known_place);
        if (!there) continue;
        const sun::Climate local = sun::climate_of(*there);
        const Months on = months_of(stay.months);
        for (std::size_t m = 0; m < 12; ++m) {
            if (on.at(m)) c.months.at(m) = local.months.at(m);
        }
        c.given = true;
        if (c.source.empty()) c.source = local.source;
    }
    return c;
}

/// A circuit that is only called a load although something else hangs on it is what hangs on it.
void infer_purposes(Plan& p) {
    for (Circuit& c : p.circuits) {
        if (c.purpose != Purpose::load) continue;
        if (std::ranges::find(p.inverters, c.name, &Inverter::circuit) != p.inverters.end()) {
            c.purpose = Purpose::inverter;
        } else if (std::ranges::find(p.chargers, c.name, &Charger::circuit) != p.chargers.end()) {
            c.purpose = Purpose::charger;
        } else if (std::ranges::find(p.circuits, c.name, &Circuit::from) != p.circuits.end()) {
            c.purpose = Purpose::panel;
        }
    }
}

}  // namespace

Plan plan_of(const System& s) {
    const Equipment& e = s.equipment;
    const d::Wishes wishes = e.wishes.value_or(d::Wishes{});
    Plan p;
    p.name = s.name;
    p.nominal = s.nominal_voltage;
    p.bank = bank(s);
    for (const auto& a : e.appliances) p.appliances.push_back(appliance(s, a));
    for (const auto& c : e.circuits) p.circuits.push_back(circuit(c));
    for (const auto& i : e.inverters) p.inverters.push_back(inverter(i));
    for (const auto& c : e.chargers) p.chargers.push_back(charger(c));
    for (std::size_t i = 0; i < s.meters.size(); ++i) {
        p.shunts.push_back(shunt(s.meters[i], i < e.meters.size() ? e.meters[i] : d::MeterDetail{}));
    }
    infer_purposes(p);
    go_by_measured_draws(p);
    p.climate = climate(s);
    if (wishes.days_without_sun.known()) p.wishes.days_without_sun = wishes.days_without_sun.value();
    p.wishes.months = months_of(wishes.months);
    p.wishes.budget = wishes.budget;
    if (!wishes.currency.empty()) p.currency = wishes.currency;
    for (Appliance& a : p.appliances) {  // nothing runs in a month in which nobody is there
        for (std::size_t m = 0; m < a.months.size(); ++m) a.months.at(m) = a.months.at(m) && p.wishes.months.at(m);
    }
    return p;
}

}  // namespace amphora::design
