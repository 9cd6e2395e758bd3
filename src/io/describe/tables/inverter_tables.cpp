// [[inverter]].
#include "io/describe/tables/rows.hpp"
#include "io/describe/tables/tables.hpp"

namespace amphora::describe {
namespace {

constexpr auto of = [](auto member) {
    return [member](auto& s, auto i) -> auto& { return s.equipment.inverters[i].*member; };
};
using I = described::Inverter;

}  // namespace

std::vector<Table> inverter_tables() {
    Table table{.path = "inverter",
                .presence = Presence::repeated,
                .meaning =
                    "Makes mains voltage from the battery. Its output can kill: the local electrical code and licensed "
                    "practice govern it.",
                .enter = [](System& s) { s.equipment.inverters.emplace_back(); },
                .count = [](const System& s) { return s.equipment.inverters.size(); }};
    table.keys = {
        text("name", "What you call it.", "inverter", kept(of(&I::name))),
        required(number("power_w", "W", {1, 100'000}, "What it gives for good.", "", measured(of(&I::power)))),
        number("surge_w", "W", {1, 200'000}, "What it gives for a moment.", "as `power_w`", measured(of(&I::surge))),
        number("idle_w", "W", {0, 1000}, "What it takes with nothing plugged in.", "0", measured(of(&I::idle))),
        number("idle_h", "h", {0, 24}, "Hours a day that it is switched on.", "24", measured(of(&I::idle_hours))),
        number("efficiency", "", {0.3, 1}, "Output over input at middling load.", "0.9", measured(of(&I::efficiency))),
        list("curve_load", "", {0, 1.5}, "Loads, as parts of `power_w`, at which its efficiency is known; increasing.",
             "none", measured(of(&I::curve_load))),
        list("curve_efficiency", "", {0.05, 1}, "The efficiency at each of them.", "`efficiency` at every load",
             measured(of(&I::curve_efficiency))),
        number("cut_off_v", "V", {1, 1000}, "Switches off below this battery voltage.", "unknown",
               measured(of(&I::cut_off))),
        number("highest_input_v", "V", {1, 1000}, "Stands at most this battery voltage.", "unknown",
               measured(of(&I::highest_input))),
        text("circuit", "Name of the circuit that feeds it.", "none", kept(of(&I::circuit))),
        number("price", "", {0, 1e9}, "What it costs.", "unknown", measured(of(&I::price))),
    };
    return {std::move(table)};
}

}  // namespace amphora::describe
