#include <algorithm>
#include <cmath>
#include <numeric>
#include <vector>

#include "core/design/load.hpp"
#include "core/design/sizing.hpp"

namespace amphora::design {
namespace {

constexpr double critical_share = 0.03;
constexpr double ordinary_share = 0.10;
constexpr Celsius usual_insulation{105.0};

bool exists(const Plan& plan, const std::string& name) {
    return std::ranges::any_of(plan.circuits, [&](const Circuit& c) { return c.name == name; });
}

std::string free_name(const Plan& plan, std::string name) {
    while (exists(plan, name) || name == "battery") name += " circuit";
    return name;
}

Circuit& add(Plan& plan, const std::string& wanted, const std::string& from, Purpose purpose) {
    Circuit c;
    c.name = free_name(plan, wanted);
    c.from = from;
    c.purpose = purpose;
    plan.circuits.push_back(std::move(c));
    return plan.circuits.back();
}

/// The circuit that small loads start from: one that is described, or a new one.
std::string panel_of(Plan& plan) {
    for (const Circuit& c : plan.circuits) {
        if (c.purpose == Purpose::panel) return c.name;
    }
    for (const Circuit& c : plan.circuits) {
        if (c.purpose == Purpose::main) return c.name;
    }
    return add(plan, "fuse panel", "battery", Purpose::panel).name;
}

std::string start_of_heavy(const Plan& plan) {
    const auto main = std::ranges::find(plan.circuits, Purpose::main, &Circuit::purpose);
    return main == plan.circuits.end() ? "battery" : main->name;
}

void give_circuits(Plan& plan) {
    for (Appliance& a : plan.appliances) {
        if (a.feed != Feed::battery || (!a.circuit.empty() && exists(plan, a.circuit))) continue;
        const std::string panel = panel_of(plan);
        a.circuit = add(plan, a.name, panel, Purpose::load).name;
    }
    for (Inverter& i : plan.inverters) {
        if (i.circuit.empty() || !exists(plan, i.circuit))
            i.circuit = add(plan, i.name, start_of_heavy(plan), Purpose::inverter).name;
    }
    for (Charger& c : plan.chargers) {
        if (c.circuit.empty() || !exists(plan, c.circuit))
            c.circuit = add(plan, c.name, start_of_heavy(plan), Purpose::charger).name;
    }
}

/// A kind that breaks the fault at its place, stands the voltage and comes in this rating.
FuseKind kind_for(const Plan& plan, const Circuit& c, Ampere rating) {
    const bool first = parent_of(plan, c) == nullptr;
    const bool low_voltage = plan.nominal <= Volt(24.0);
    if (first) {
        // Twice what it has to break, because the bank's resistance may only be an estimate.
        const bool post = fault_current(plan, c) * 2.0 <= interrupts_at(FuseKind::terminal, plan.nominal);
        return post && next_rating(FuseKind::terminal, rating) ? FuseKind::terminal : FuseKind::class_t;
    }
    if (!low_voltage) return FuseKind::class_t;
    if (rating <= Ampere(30.0)) return FuseKind::blade;
    return rating <= Ampere(200.0) ? FuseKind::sf30 : FuseKind::sf51;
}

/// A feeder's fuse is larger than every one behind it, or a fault there darkens everything.
Ampere largest_behind(const Plan& plan, const Circuit& c) {
    Ampere largest{};
    for (const Circuit& next : plan.circuits) {
        if (next.from == c.name && next.protection) largest = std::max(largest, next.protection->rating * 1.05);
    }
    return largest;
}

int depth_of(const Plan& plan, const Circuit& c) {
    int depth = 0;
    for (const Circuit* up = parent_of(plan, c); up != nullptr && depth < 16; up = parent_of(plan, *up)) ++depth;
    return depth;
}

void give_fuse(const Plan& plan, Circuit& c) {
    const Load load = load_of(plan, c, Reckoning::installed);
    const Ampere least = std::max({load.greatest() / continuous_share, largest_behind(plan, c), Ampere(1.0)});
    Protection p;
    p.kind = kind_for(plan, c, least);
    // The surge must pass too; a fuse one size up costs a thicker cable, not a dark boat.
    const Ampere by_surge = load.out_surge / data(p.kind).stands_surge;
    const auto rating = next_rating(p.kind, std::max(least, by_surge));
    if (!rating) {
        p.kind = FuseKind::class_t;
        p.rating = next_rating(p.kind, least).value_or(Ampere(data(p.kind).ratings.back()));
    } else {
        p.rating = *rating;
    }
    // A cable that is there already wants a fuse that it outlasts: a smaller one of another kind that breaks the fault.
    if (c.run && p.rating > ampacity(c.run->size, c.run->laying).corrected()) {
        for (const FuseKind kind : {FuseKind::blade, FuseKind::breaker, FuseKind::nh}) {
            const auto smaller = next_rating(
                kind, std::max(load.greatest() / continuous_share, load.out_surge / data(kind).stands_surge));
            if (!smaller || *smaller > ampacity(c.run->size, c.run->laying).corrected()) continue;
            if (*smaller < largest_behind(plan, c) || data(kind).highest < working_high(plan)) continue;
            if (interrupts_at(kind, plan.nominal) < fault_current(plan, c) * 2.0) continue;
            p.kind = kind;
            p.rating = *smaller;
            break;
        }
    }
    p.from_source = Metre(0.15);
    c.protection = p;
}

/// The series that most described cables are of.
SizeSeries usual_series(const Plan& plan) {
    const auto of = [&](SizeSeries s) {
        return std::ranges::count_if(plan.circuits, [s](const Circuit& c) { return c.run && c.run->size.series == s; });
    };
    return of(SizeSeries::american) > of(SizeSeries::metric) ? SizeSeries::american : SizeSeries::metric;
}

void give_cable(const Plan& plan, Circuit& c) {
    const Ampere load = load_of(plan, c, Reckoning::installed).greatest();
    const bool tight = c.critical || c.purpose != Purpose::load;
    // The way before this circuit eats its part of what may be lost.
    const Volt allowed =
        plan.nominal * (tight ? critical_share : ordinary_share) * (parent_of(plan, c) == nullptr ? 1.0 : 0.7);
    const Laying laying = c.run ? c.run->laying : Laying{.insulation = usual_insulation};
    const SizeSeries series = c.run ? c.run->size.series : usual_series(plan);
    const Metre length = c.run ? c.run->one_way : (parent_of(plan, c) == nullptr ? Metre(1.5) : assumed_length);
    for (const ConductorSize& size : sizes(series)) {
        if (size.area < SquareMillimetre(0.8) || ampacity(size, laying).corrected() < c.protection->rating) continue;
        if (voltage_drop({size, length, laying}, load) > allowed) continue;
        c.run = Run{size, length, laying};
        return;
    }
    c.run = Run{sizes(series).back(), length, laying};
}

}  // namespace

Plan with_wiring(Plan plan) {
    give_circuits(plan);
    std::vector<std::size_t> from_the_ends(plan.circuits.size());
    std::iota(from_the_ends.begin(), from_the_ends.end(), std::size_t{0});
    std::ranges::stable_sort(from_the_ends, std::ranges::greater{},
                             [&](std::size_t i) { return depth_of(plan, plan.circuits[i]); });
    for (const std::size_t i : from_the_ends) {
        Circuit& c = plan.circuits[i];
        const bool fused = c.protection.has_value();
        if (!fused) give_fuse(plan, c);
        if (!fused || !c.run) give_cable(plan, c);
    }
    return plan;
}

}  // namespace amphora::design
