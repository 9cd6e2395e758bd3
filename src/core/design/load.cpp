#include "core/design/load.hpp"

#include <algorithm>
#include <array>

#include "core/design/chemistry_limits.hpp"

namespace amphora::design {
namespace {

using ByHour = std::array<double, 24>;

struct Demand {
    ByHour out{};
    double extra = 0.0;  // greatest surge above the running current
    double in = 0.0;

    void add(const Demand& other) {
        for (std::size_t h = 0; h < out.size(); ++h) out.at(h) += other.out.at(h);
        extra = std::max(extra, other.extra);
        in += other.in;
    }
    [[nodiscard]] double worst() const { return *std::ranges::max_element(out); }
};

/// In watts at its own terminals; `extra` likewise.
Demand demand_of(const Appliance& a) {
    Demand d;
    for (std::size_t h = 0; h < d.out.size(); ++h) {
        d.out.at(h) = a.count * (a.standby.value() + (a.on_by_hour.at(h) > 0.0 ? a.power.value() : 0.0));
    }
    if (a.surge.known()) d.extra = std::max(0.0, (a.surge - a.power).value());
    return d;
}

Demand scaled(Demand d, double factor) {
    for (double& w : d.out) w *= factor;
    d.extra *= factor;
    return d;
}

Demand behind_inverters(const Plan& plan) {
    Demand all;
    for (const Appliance& a : plan.appliances) {
        if (a.feed == Feed::inverter) all.add(demand_of(a));
    }
    return all;
}

/// Battery current of one inverter, by hour.
Demand demand_of(const Plan& plan, const Inverter& inverter, Reckoning how) {
    const double per_watt = 1.0 / (efficiency_at(inverter, inverter.power).value() * working_low(plan).value());
    Demand rated;
    rated.out.fill(inverter.power.value());
    if (inverter.surge.known()) rated.extra = std::max(0.0, (inverter.surge - inverter.power).value());
    if (how == Reckoning::installed) return scaled(rated, per_watt);
    Demand asked = behind_inverters(plan);
    if (asked.worst() <= 0.0) return scaled(rated, per_watt);
    for (double& w : asked.out) w = std::min(w, inverter.power.value());
    if (inverter.surge.known()) asked.extra = std::min(asked.extra, inverter.surge.value() - asked.worst());
    return scaled(asked, per_watt);
}

Demand demand_of(const Plan& plan, const Circuit& circuit, Reckoning how, int depth) {
    constexpr int deepest = 16;  // a loop in "from" is refused at the door; this only bounds the walk
    Demand d;
    if (depth > deepest) return d;
    for (const Appliance& a : plan.appliances) {
        if (a.feed == Feed::battery && a.circuit == circuit.name)
            d.add(scaled(demand_of(a), 1.0 / plan.nominal.value()));
    }
    for (const Inverter& i : plan.inverters) {
        if (i.circuit == circuit.name) d.add(demand_of(plan, i, how));
    }
    for (const Charger& c : plan.chargers) {
        if (c.circuit == circuit.name) d.in += c.current.value();
    }
    for (const Circuit& next : plan.circuits) {
        if (next.from == circuit.name && &next != &circuit) d.add(demand_of(plan, next, how, depth + 1));
    }
    if (circuit.continuous.known()) {
        const double said = circuit.continuous.value();
        if (circuit.purpose == Purpose::charger) {
            d.in = std::max(d.in, said);
        } else {
            d.out.fill(std::max(said, d.worst()));
        }
    }
    if (circuit.surge.known()) d.extra = std::max(d.extra, circuit.surge.value() - d.worst());
    return d;
}

Load as_load(const Demand& d) { return {Ampere(d.worst()), Ampere(d.worst() + d.extra), Ampere(d.in)}; }

bool placed(const Plan& plan, const std::string& circuit) {
    return std::ranges::any_of(plan.circuits, [&](const Circuit& c) { return c.name == circuit; });
}

}  // namespace

Load load_of(const Plan& plan, const Circuit& circuit, Reckoning how) {
    return as_load(demand_of(plan, circuit, how, 0));
}

Load load_of_bank(const Plan& plan, Reckoning how) {
    Demand all;
    for (const Circuit& c : plan.circuits) {
        if (parent_of(plan, c) == nullptr) all.add(demand_of(plan, c, how, 0));
    }
    for (const Appliance& a : plan.appliances) {
        if (a.feed == Feed::battery && !placed(plan, a.circuit)) {
            all.add(scaled(demand_of(a), 1.0 / plan.nominal.value()));
        }
    }
    for (const Inverter& i : plan.inverters) {
        if (!placed(plan, i.circuit)) all.add(demand_of(plan, i, how));
    }
    for (const Charger& c : plan.chargers) {
        if (!placed(plan, c.circuit)) all.in += c.current.value();
    }
    return as_load(all);
}

Load load_through(const Plan& plan, const Shunt& shunt, Reckoning how) {
    const auto it = std::ranges::find(plan.circuits, shunt.circuit, &Circuit::name);
    return shunt.circuit.empty() || it == plan.circuits.end() ? load_of_bank(plan, how) : load_of(plan, *it, how);
}

Ampere chargers_at_once(const Plan& plan) {
    Ampere sun{};
    Ampere driving{};
    Ampere plugged{};
    for (const Charger& c : plan.chargers) {
        (c.kind == ChargerKind::solar ? sun : c.kind == ChargerKind::alternator ? driving : plugged) += c.current;
    }
    return sun + std::max(driving, plugged);
}

Ampere inverter_current(const Plan& plan, const Inverter& inverter, Watt output) {
    return (output / efficiency_at(inverter, output).value()) / working_low(plan);
}

Fraction efficiency_at(const Inverter& inverter, Watt output) {
    const auto& loads = inverter.curve_load;
    const auto& values = inverter.curve_efficiency;
    if (loads.empty() || loads.size() != values.size() || inverter.power <= Watt(0.0)) return inverter.efficiency;
    const Fraction share(output / inverter.power);
    const auto above = std::ranges::lower_bound(loads, share);
    if (above == loads.begin()) return values.front();
    if (above == loads.end()) return values.back();
    const auto i = static_cast<std::size_t>(above - loads.begin());
    return values[i - 1] + (values[i] - values[i - 1]) * ((share - loads[i - 1]) / (loads[i] - loads[i - 1]));
}

AcDemand ac_demand(const Plan& plan) {
    const Demand d = behind_inverters(plan);
    return {Watt(d.worst()), Watt(d.worst() + d.extra)};
}

Volt working_high(const Plan& plan) {
    const Battery& b = plan.bank.battery;
    Volt held{};
    Volt equalised{};
    for (const Charger& c : plan.chargers) {
        if (c.absorption.known()) held = std::max(held, c.absorption);
        if (c.equalise.known()) equalised = std::max(equalised, c.equalise);
    }
    if (held <= Volt(0.0)) held = limits(b.chemistry).absorption_high * b.cells_in_series;
    return std::max(held, equalised);
}

Volt working_low(const Plan& plan) {
    return limits(plan.bank.battery.chemistry).working_low * plan.bank.battery.cells_in_series;
}

Source source_of(const Plan& plan) {
    const Battery& b = plan.bank.battery;
    const ChemistryLimits& l = limits(b.chemistry);
    const Volt open = l.rest_full * b.cells_in_series;
    if (plan.bank.short_circuit.known()) return {plan.bank.short_circuit, open / plan.bank.short_circuit, false};
    const Ohm r(l.ohm_ampere_hours * b.cells_in_series / b.design_capacity.value());
    return {open / r, r, true};
}

const Circuit* parent_of(const Plan& plan, const Circuit& circuit) {
    const auto it = std::ranges::find(plan.circuits, circuit.from, &Circuit::name);
    return it == plan.circuits.end() || &*it == &circuit ? nullptr : &*it;
}

Ohm copper_to_the_end(const Plan& plan, const Circuit& circuit, Celsius copper) {
    constexpr int deepest = 16;
    Ohm path{};
    int steps = 0;
    for (const Circuit* part = &circuit; part != nullptr && steps < deepest; part = parent_of(plan, *part), ++steps) {
        if (part->run) path += resistance(part->run->size, part->run->one_way * 2.0, copper);
    }
    return path;
}

Ampere fault_current(const Plan& plan, const Circuit& circuit) {
    const Source source = source_of(plan);
    Ohm path = source.resistance;
    if (const Circuit* up = parent_of(plan, circuit)) path += copper_to_the_end(plan, *up, Celsius(20.0));
    return source.resistance * source.short_circuit / path;
}

}  // namespace amphora::design
