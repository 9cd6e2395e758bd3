// Small pieces to build plans from in tests.
#pragma once

#include <algorithm>
#include <string>
#include <string_view>
#include <utility>

#include "core/design/finding.hpp"
#include "core/design/plan.hpp"

namespace amphora::design {

inline Run metric(double mm2, double one_way_m, double insulation_c = 105) {
    return {*metric_size(SquareMillimetre(mm2)), Metre(one_way_m), {.insulation = Celsius(insulation_c)}};
}

inline Run gauge(std::string_view label, double one_way_m, double insulation_c = 105) {
    return {*gauge_size(label), Metre(one_way_m), {.insulation = Celsius(insulation_c)}};
}

inline Protection fuse(FuseKind kind, double amperes, double from_source_m = 0.1) {
    Protection p;
    p.kind = kind;
    p.rating = Ampere(amperes);
    p.from_source = Metre(from_source_m);
    return p;
}

inline Circuit circuit(std::string name, std::string from, Run run, Protection protection,
                       Purpose purpose = Purpose::load) {
    Circuit c;
    c.name = std::move(name);
    c.from = std::move(from);
    c.run = run;
    c.protection = protection;
    c.purpose = purpose;
    return c;
}

inline Appliance appliance(std::string name, double watts, std::string on_circuit = "", double first_hour = 0,
                           double last_hour = 24) {
    Appliance a;
    a.name = std::move(name);
    a.power = Watt(watts);
    a.circuit = std::move(on_circuit);
    for (std::size_t h = 0; h < 24; ++h) {
        a.on_by_hour.at(h) = std::clamp(last_hour - static_cast<double>(h), 0.0, 1.0) *
                             std::clamp(static_cast<double>(h) + 1.0 - first_hour, 0.0, 1.0);
    }
    return a;
}

inline Appliance behind_inverter(Appliance a) {
    a.feed = Feed::inverter;
    return a;
}

inline Shunt shunt(std::string name, double amperes, double millivolts) {
    Shunt s;
    s.name = std::move(name);
    s.rating = Ampere(amperes);
    s.rated_drop = Volt(millivolts / 1000.0);
    return s;
}

/// 12.8 V, 100 Ah of LFP with a management system, and nothing else.
inline Plan small_bank() {
    Plan plan;
    plan.bank.battery.chemistry = Chemistry::lfp;
    plan.bank.battery.design_capacity = AmpHour(100);
    plan.bank.battery.cells_in_series = 4;
    plan.bank.management_system = true;
    return plan;
}

inline bool finds(const Findings& found, std::string_view rule) {
    return std::ranges::any_of(found, [&](const Finding& f) { return f.rule == rule; });
}

}  // namespace amphora::design
