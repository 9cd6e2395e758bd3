#include "io/describe/checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <initializer_list>
#include <map>

#include "io/describe/chemistry_defaults.hpp"
#include "io/describe/equipment_checks.hpp"
#include "io/describe/guard_checks.hpp"
#include "io/describe/line_checks.hpp"
#include "io/describe/live_checks.hpp"
#include "io/describe/phrases.hpp"

namespace amphora::describe {
namespace {

constexpr std::string_view cells = "battery.cells_in_series";
constexpr std::string_view nominal = "system.nominal_voltage_v";
constexpr std::string_view chemistry = "battery.chemistry";
constexpr std::string_view full_voltage = "battery.full.voltage_v";
constexpr std::string_view full_current = "battery.full.current_below_a";
constexpr std::string_view capacity = "battery.design_capacity_ah";
constexpr std::string_view ocv_charge = "battery.ocv.state_of_charge";
constexpr std::string_view ocv_voltage = "battery.ocv.voltage_v";

constexpr std::size_t least_points = 2;
constexpr std::size_t most_points = 1000;

bool all_sound(const Draft& draft, std::initializer_list<std::string_view> paths) {
    return std::ranges::all_of(paths, [&](std::string_view path) { return draft.sound(path); });
}

void cells_fit_the_voltage(Draft& draft) {
    if (!all_sound(draft, {cells, nominal, chemistry})) return;
    const auto& battery = draft.system.battery;
    const auto& kind = defaults_of(battery.chemistry);
    const auto volts = draft.system.nominal_voltage;
    if (cells_fit(kind, battery.cells_in_series, volts)) return;
    const auto* at = draft.node(cells) != nullptr ? draft.node(cells) : draft.node(nominal);
    const auto path = draft.node(cells) != nullptr ? cells : nominal;
    const auto likely = likely_cells(kind, volts);
    const auto remedy = cells_fit(kind, likely, volts) ? fmt::format("{} cells", likely) : "another nominal voltage";
    draft.mistake(
        at->at, std::string(path),
        fmt::format("expected {} for {} V of {}, found {}: {} cells of {} V make {:.4g} V{}", remedy, volts.value(),
                    kind.word, battery.cells_in_series, battery.cells_in_series, kind.nominal.value(),
                    (kind.nominal * battery.cells_in_series).value(),
                    draft.node(nominal) == nullptr ? " (is system.nominal_voltage_v missing? 12 is assumed)" : ""));
}

void full_voltage_fits(Draft& draft) {
    const auto* node = draft.node(full_voltage);
    if (node == nullptr || !all_sound(draft, {full_voltage, cells, nominal, chemistry})) return;
    const auto& battery = draft.system.battery;
    const auto& kind = defaults_of(battery.chemistry);
    const auto per_cell = battery.full.voltage / battery.cells_in_series;
    if (per_cell >= kind.full.low && per_cell <= kind.full.high) return;
    draft.mistake(node->at, std::string(full_voltage),
                  fmt::format("expected {:.4g} to {:.4g} V for {} cells of {}, found {} V, which is {:.3g} V per cell",
                              (kind.full.low * battery.cells_in_series).value(),
                              (kind.full.high * battery.cells_in_series).value(), battery.cells_in_series, kind.word,
                              battery.full.voltage.value(), per_cell.value()));
}

void full_current_is_a_tail(Draft& draft) {
    constexpr double most_c = 0.2;  // above it a battery of any chemistry is still taking charge in earnest
    const auto* node = draft.node(full_current);
    if (node == nullptr || !all_sound(draft, {full_current, capacity})) return;
    const auto& battery = draft.system.battery;
    const auto most = Ampere(most_c * battery.design_capacity.value());
    if (battery.full.current_below <= most) return;
    draft.mistake(node->at, std::string(full_current),
                  fmt::format("expected at most {:.4g} A, a fifth of the capacity per hour, found {} A: a battery that "
                              "takes so much is not full",
                              most.value(), battery.full.current_below.value()));
}

// The first place where a list does not rise, said of its item.
template <class Q>
void rises(Draft& draft, std::string_view path, const std::vector<Q>& values) {
    const auto fall = std::ranges::adjacent_find(values, [](Q a, Q b) { return !(a < b); });
    if (fall == values.end()) return;
    const auto i = static_cast<std::size_t>(fall - values.begin()) + 1;
    const auto& item = std::get<List>(draft.node(path)->value)[i];
    draft.mistake(item.at, numbered(path, i),
                  fmt::format("expected more than {}, the one before it, found {}: the list must increase",
                              values[i - 1].value(), values[i].value()));
}

bool list_is_sound(const Draft& draft, std::string_view path) {
    const auto item = draft.mistaken.lower_bound(fmt::format("{}[", path));
    return draft.sound(path) && (item == draft.mistaken.end() || !item->starts_with(fmt::format("{}[", path)));
}

void ocv_lengths(Draft& draft, const MeasuredOcv& ocv) {
    const auto points = ocv.state_of_charge.size();
    const auto& node = *draft.node(ocv_voltage);
    if (ocv.voltage.size() != points) {
        draft.mistake(
            node.at, std::string(ocv_voltage),
            fmt::format("expected {} values, one for each state_of_charge, found {}", points, ocv.voltage.size()));
        return;
    }
    if (points < least_points || points > most_points)
        draft.mistake(node.at, std::string(ocv_voltage),
                      fmt::format("expected {} to {} values, found {}", least_points, most_points, points));
}

void ocv_ends(Draft& draft, const MeasuredOcv& ocv) {
    const auto& list = std::get<List>(draft.node(ocv_charge)->value);
    if (list.empty()) return;
    const auto end = [&](std::size_t i, double wanted_value, std::string_view which) {
        if (ocv.state_of_charge[i].value() != wanted_value)
            draft.mistake(list[i].at, numbered(ocv_charge, i),
                          fmt::format("expected {:.1f} as the {} value, found {}", wanted_value, which,
                                      ocv.state_of_charge[i].value()));
    };
    end(0, 0.0, "first");
    if (list.size() > 1) end(list.size() - 1, 1.0, "last");
}

void ocv_is_per_cell(Draft& draft, const MeasuredOcv& ocv) {
    if (!draft.sound(chemistry)) return;
    const auto& kind = defaults_of(draft.system.battery.chemistry);
    const auto outside = std::ranges::find_if(
        ocv.voltage, [&](Volt v) { return v < kind.open_circuit.low || v > kind.open_circuit.high; });
    if (outside == ocv.voltage.end()) return;
    const auto i = static_cast<std::size_t>(outside - ocv.voltage.begin());
    draft.mistake(
        std::get<List>(draft.node(ocv_voltage)->value)[i].at, numbered(ocv_voltage, i),
        fmt::format("expected {} to {} V for a cell of {}, found {} V: one cell, not the whole battery?",
                    kind.open_circuit.low.value(), kind.open_circuit.high.value(), kind.word, outside->value()));
}

void ocv_is_a_curve(Draft& draft) {
    const auto& ocv = draft.system.battery.ocv;
    if (!ocv || draft.node(ocv_charge) == nullptr || draft.node(ocv_voltage) == nullptr) return;
    const bool charge_sound = list_is_sound(draft, ocv_charge);
    const bool voltage_sound = list_is_sound(draft, ocv_voltage);
    if (charge_sound && voltage_sound) ocv_lengths(draft, *ocv);
    if (charge_sound) {
        ocv_ends(draft, *ocv);
        rises(draft, ocv_charge, ocv->state_of_charge);
    }
    if (voltage_sound) {
        ocv_is_per_cell(draft, *ocv);
        rises(draft, ocv_voltage, ocv->voltage);
    }
}

void meters_have_pairs(Draft& draft) {
    for (std::size_t i = 0; i < draft.system.meters.size(); ++i) {
        const auto table = numbered("meter", i);
        const auto pair = std::array{joined(table, "rated_current_a"), joined(table, "rated_drop_mv")};
        for (const auto& [here, missing] : {std::pair{pair[0], pair[1]}, std::pair{pair[1], pair[0]}})
            if (draft.node(here) != nullptr && draft.node(missing) == nullptr)
                draft.mistake(draft.node(here)->at, here,
                              fmt::format("expected {} with it: a shunt needs both or neither", missing));
    }
}

void meters_have_names_of_their_own(Draft& draft) {
    std::map<std::string, std::uint32_t> lines;
    for (std::size_t i = 0; i < draft.system.meters.size(); ++i) {
        const auto table = numbered("meter", i);
        const auto path = joined(table, "name");
        if (!draft.sound(path)) continue;
        const auto& name = draft.system.meters[i].name;
        const auto at = (draft.node(path) != nullptr ? draft.node(path) : draft.node(table))->at;
        const auto [first, is_new] = lines.emplace(name, at.line);
        if (!is_new)
            draft.mistake(
                at, path,
                fmt::format("expected a name of its own, found \"{}\" as on line {}", printable(name), first->second));
    }
}

void zone_is_a_name(Draft& draft) {
    constexpr std::string_view path = "system.zone";
    const auto* node = draft.node(path);
    if (node == nullptr || !draft.sound(path)) return;
    const auto& zone = draft.system.zone;
    const auto letter = [](char c) { return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z'); };
    const auto allowed = [&](char c) {
        return letter(c) || (c >= '0' && c <= '9') || std::string_view("/_+-").contains(c);
    };
    if (letter(zone.front()) && std::ranges::all_of(zone, allowed)) return;
    draft.mistake(
        node->at, std::string(path),
        fmt::format(R"(expected an IANA zone name as "Europe/Lisbon" or "UTC", found "{}")", printable(zone)));
}

}  // namespace

void check_together(Draft& draft) {
    for (const auto check : {cells_fit_the_voltage, full_voltage_fits, full_current_is_a_tail, ocv_is_a_curve,
                             meters_have_pairs, meters_have_names_of_their_own, zone_is_a_name, check_equipment,
                             check_live, check_guards, check_serial_lines})
        check(draft);
}

}  // namespace amphora::describe
