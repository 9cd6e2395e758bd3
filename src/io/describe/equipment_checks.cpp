#include "io/describe/equipment_checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <set>

#include "core/design/conductor.hpp"
#include "io/describe/phrases.hpp"

namespace amphora::describe {
namespace {

using Names = std::vector<std::string_view>;

/// A mistake at a key, or at its table where the key is not given.
void mistake_at(Draft& draft, std::string_view table, std::size_t i, std::string_view key, const std::string& message) {
    const auto instance = numbered(table, i);
    const auto path = key.empty() ? instance : joined(instance, key);
    const auto* node = draft.node(path) != nullptr ? draft.node(path) : draft.node(instance);
    if (node != nullptr && draft.sound(path)) draft.mistake(node->at, path, message);
}

template <class Items>
void names_differ(Draft& draft, std::string_view table, const Items& items) {
    std::set<std::string_view> seen;
    for (std::size_t i = 0; i < items.size(); ++i) {
        if (!items[i].name.empty() && !seen.insert(items[i].name).second) {
            mistake_at(draft, table, i, "name",
                       fmt::format("expected a name of its own, found \"{}\" again", printable(items[i].name)));
        }
    }
}

template <class Items>
void circuits_exist(Draft& draft, std::string_view table, const Items& items, const Names& circuits) {
    for (std::size_t i = 0; i < items.size(); ++i) {
        const std::string& name = items[i].circuit;
        if (name.empty() || std::ranges::find(circuits, name) != circuits.end()) continue;
        mistake_at(draft, table, i, "circuit",
                   fmt::format("expected the name of a [[circuit]], found \"{}\"{}", printable(name),
                               did_you_mean(name, circuits)));
    }
}

void circuits_begin_somewhere(Draft& draft, const Names& names) {
    const auto& circuits = draft.system.equipment.circuits;
    for (std::size_t i = 0; i < circuits.size(); ++i) {
        const std::string& from = circuits[i].from;
        if (from == "battery") continue;
        if (std::ranges::find(names, from) == names.end()) {
            mistake_at(draft, "circuit", i, "from",
                       fmt::format("expected \"battery\" or the name of a [[circuit]], found \"{}\"{}", printable(from),
                                   did_you_mean(from, names)));
        }
    }
    for (std::size_t i = 0; i < circuits.size(); ++i) {
        const described::Circuit* at = &circuits[i];
        for (std::size_t steps = 0; at->from != "battery"; ++steps) {
            const auto up = std::ranges::find(circuits, at->from, &described::Circuit::name);
            if (up == circuits.end()) break;
            if (steps > circuits.size()) {
                mistake_at(draft, "circuit", i, "from",
                           "expected a way back to the battery, found a ring of circuits that feed each other");
                break;
            }
            at = &*up;
        }
    }
}

void cables_exist(Draft& draft) {
    const auto& circuits = draft.system.equipment.circuits;
    for (std::size_t i = 0; i < circuits.size(); ++i) {
        const auto& c = circuits[i];
        if (!c.gauge.empty() && c.cable.known()) {
            mistake_at(draft, "circuit", i, "cable_awg", "expected cable_mm2 or cable_awg, found both");
        } else if (!c.gauge.empty() && !design::gauge_size(c.gauge)) {
            mistake_at(draft, "circuit", i, "cable_awg",
                       fmt::format("expected a gauge from \"18\" to \"4/0\", found \"{}\"", printable(c.gauge)));
        } else if (c.cable.known() && !design::metric_size(c.cable)) {
            mistake_at(
                draft, "circuit", i, "cable_mm2",
                fmt::format("expected a size of IEC 60228 (0.5 0.75 1 1.5 2.5 4 6 10 16 25 35 50 70 95 120), found {}",
                            c.cable.value()));
        }
        const bool has_cable = c.cable.known() || !c.gauge.empty();
        if (has_cable && !c.length.known()) mistake_at(draft, "circuit", i, "", "expected length_m with its cable");
        if (c.fuse.known() && c.fuse_kind.empty())
            mistake_at(draft, "circuit", i, "fuse_a", "expected fuse_kind with it");
        if (!c.fuse.known() && !c.fuse_kind.empty())
            mistake_at(draft, "circuit", i, "fuse_kind", "expected fuse_a with it");
    }
}

void whole_months(Draft& draft, std::string_view table, std::size_t i, const std::vector<MonthNumber>& months) {
    if (std::ranges::all_of(months, [](MonthNumber m) { return m.value() == std::floor(m.value()); })) return;
    mistake_at(draft, table, i, "months", "expected whole months from 1 to 12");
}

/// Hours between the pairs of clock hours; a pair that ends before it begins goes over midnight.
double hours_in(const std::vector<Hour>& on) {
    double sum = 0.0;
    for (std::size_t i = 0; i + 1 < on.size(); i += 2) {
        const double span = (on[i + 1] - on[i]).value();
        sum += span > 0.0 ? span : span + 24.0;
    }
    return std::min(sum, 24.0);
}

void appliances_make_sense(Draft& draft) {
    const auto& appliances = draft.system.equipment.appliances;
    for (std::size_t i = 0; i < appliances.size(); ++i) {
        const auto& a = appliances[i];
        if (a.power.known() && a.current.known())
            mistake_at(draft, "appliance", i, "current_a", "expected power_w or current_a, found both");
        if (!a.power.known() && !a.current.known() && !a.measured.known() && a.standby <= Watt(0.0)) {
            mistake_at(draft, "appliance", i, "", "expected power_w, current_a, standby_w or measured_w");
        }
        if (a.on.size() % 2 != 0)
            mistake_at(draft, "appliance", i, "on_h",
                       fmt::format("expected pairs of hours, from and to, found {} values", a.on.size()));
        const double window = hours_in(a.on);
        if (a.hours_a_day.known() && !a.on.empty() && a.hours_a_day.value() > window + 1e-6)
            mistake_at(draft, "appliance", i, "daily_h",
                       fmt::format("expected at most the {:g} h of on_h, found {:g}", window, a.hours_a_day.value()));
        if (a.feed != described::Feed::battery && !a.circuit.empty())
            mistake_at(draft, "appliance", i, "circuit",
                       "expected no circuit for what an inverter or the shore feeds: that of the inverter counts");
        whole_months(draft, "appliance", i, a.months);
    }
}

void chargers_make_sense(Draft& draft) {
    const auto& chargers = draft.system.equipment.chargers;
    for (std::size_t i = 0; i < chargers.size(); ++i) {
        const auto& c = chargers[i];
        if (c.kind != described::ChargerKind::solar) continue;
        if (!c.panel_power.known()) mistake_at(draft, "charger", i, "", "expected panel_w for a solar charger");
        if (c.panels % c.in_series != 0) {
            mistake_at(
                draft, "charger", i, "panels_in_series",
                fmt::format("expected a number that {} panels can be shared into, found {}", c.panels, c.in_series));
        }
    }
}

void curves_fit(Draft& draft) {
    const auto& inverters = draft.system.equipment.inverters;
    for (std::size_t i = 0; i < inverters.size(); ++i) {
        const auto& v = inverters[i];
        if (v.curve_load.size() != v.curve_efficiency.size()) {
            mistake_at(draft, "inverter", i, "curve_efficiency",
                       fmt::format("expected {} values, one for each curve_load, found {}", v.curve_load.size(),
                                   v.curve_efficiency.size()));
        } else if (std::ranges::adjacent_find(v.curve_load, std::greater_equal{}) != v.curve_load.end()) {
            mistake_at(draft, "inverter", i, "curve_load", "expected increasing loads");
        }
    }
}

void climate_has_twelve_months(Draft& draft) {
    const auto twelve = [&](std::string_view path, std::size_t found_values) {
        const auto* node = draft.node(path);
        if (node == nullptr || found_values == 12 || !draft.sound(path)) return;
        draft.mistake(node->at, std::string(path),
                      fmt::format("expected 12 values, January first, found {}", found_values));
    };
    const auto& c = draft.system.equipment.climate;
    if (!c) return;
    twelve("climate.daily_kwh_per_m2", c->global_per_day.size());
    twelve("climate.mean_c", c->mean.size());
    const auto* sun = draft.node("climate.daily_kwh_per_m2");
    if (sun != nullptr && !draft.system.place && c->known_place.empty()) {
        draft.mistake(sun->at, "climate.daily_kwh_per_m2",
                      "expected [place] with its latitude with it: the sun's path depends on it");
    }
}

}  // namespace

void check_equipment(Draft& draft) {
    const Equipment& e = draft.system.equipment;
    Names circuits;
    for (const auto& c : e.circuits) circuits.emplace_back(c.name);
    names_differ(draft, "appliance", e.appliances);
    names_differ(draft, "circuit", e.circuits);
    names_differ(draft, "charger", e.chargers);
    circuits_begin_somewhere(draft, circuits);
    circuits_exist(draft, "appliance", e.appliances, circuits);
    circuits_exist(draft, "inverter", e.inverters, circuits);
    circuits_exist(draft, "charger", e.chargers, circuits);
    circuits_exist(draft, "meter", e.meters, circuits);
    cables_exist(draft);
    appliances_make_sense(draft);
    chargers_make_sense(draft);
    curves_fit(draft);
    climate_has_twelve_months(draft);
    if (e.climate && !e.climate->weather_file.empty() && !e.route.empty())
        mistake_at(draft, "stay", 0, "", "expected [[stay]] or a weather_file, found both: one file is of one place");
    for (std::size_t i = 0; i < e.route.size(); ++i) whole_months(draft, "stay", i, e.route[i].months);
}

}  // namespace amphora::describe
