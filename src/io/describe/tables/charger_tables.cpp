// [[charger]]: sun, alternator, shore.
#include <algorithm>
#include <iterator>

#include "io/describe/tables/rows.hpp"
#include "io/describe/tables/tables.hpp"

namespace amphora::describe {
namespace {

using described::ChargerKind;
using described::Controller;
using described::Mounting;

constexpr Words<ChargerKind, 3> kinds{
    {{"solar", ChargerKind::solar}, {"alternator", ChargerKind::alternator}, {"shore", ChargerKind::shore}}};
constexpr Words<Controller, 2> controllers{{{"tracking", Controller::tracking}, {"switching", Controller::switching}}};
constexpr Words<Mounting, 4> mountings{{{"open-rack", Mounting::open_rack},
                                        {"glass-open-rack", Mounting::glass_open_rack},
                                        {"close-to-roof", Mounting::close_to_roof},
                                        {"glued-to-roof", Mounting::glued_to_roof}}};

constexpr auto of = [](auto member) {
    return [member](auto& s, auto i) -> auto& { return s.equipment.chargers[i].*member; };
};
using C = described::Charger;

std::vector<Key> every_charger() {
    return {
        required(text("name", "What you call it; no two alike.", "", kept(of(&C::name)))),
        required(word("kind", kinds, "What feeds it.", "", of(&C::kind))),
        required(
            number("current_a", "A", {0.1, 5000}, "Most that it gives to the battery.", "", measured(of(&C::current)))),
        text("circuit", "Name of the circuit that it charges through.", "none", kept(of(&C::circuit))),
        number("absorption_v", "V", {1, 1000}, "Voltage that it holds at the end, at 25 C.", "not checked",
               measured(of(&C::absorption))),
        number("absorption_h", "h", {0, 48}, "For how long.", "not checked", measured(of(&C::absorption_time))),
        number("float_v", "V", {1, 1000}, "Voltage that it holds afterwards.", "not checked",
               measured(of(&C::float_voltage))),
        number("equalise_v", "V", {0, 1000}, "Voltage of its equalising charge, 0 if it is off.", "off",
               measured(of(&C::equalise))),
        number("compensation_mv_per_k", "mV/K", {-20, 20},
               "Change of its voltage with battery temperature, per cell; negative lowers it in the heat.", "0",
               measured(of(&C::compensation), 1e-3)),
        flag("stops_in_cold", "Stops charging when its sensor says that the battery is too cold.", "false",
             kept(of(&C::stops_in_cold))),
        number("daily_h", "h", {0, 24}, "Driving, or plugged in, on a mean day.", "0", measured(of(&C::hours_a_day))),
        number("alternator_a", "A", {1, 5000}, "Rating of the alternator behind it.", "unknown",
               measured(of(&C::alternator))),
        flag("limits_current", "Something holds the current between alternator and battery.", "true",
             kept(of(&C::limits_current))),
        number("price", "", {0, 1e9}, "What it costs.", "unknown", measured(of(&C::price))),
    };
}

std::vector<Key> solar_only() {
    return {
        whole("panels", {1, 1000}, "How many panels.", "1", kept(of(&C::panels))),
        number("panel_w", "W", {1, 1000}, "Rated power of one.", "needed for the sun", measured(of(&C::panel_power))),
        whole("panels_in_series", {1, 100}, "How many in a string; strings are in parallel.", "1",
              kept(of(&C::in_series))),
        number("panel_open_v", "V", {1, 200}, "Open-circuit voltage of one, on its label.", "not checked",
               measured(of(&C::panel_open_circuit))),
        number("panel_peak_v", "V", {1, 200}, "Voltage of one at its peak power.", "not checked",
               measured(of(&C::panel_at_peak))),
        number("panel_short_a", "A", {0.1, 100}, "Short-circuit current of one.", "not checked",
               measured(of(&C::panel_short_circuit))),
        number("tilt_deg", "degrees", {0, 90}, "0 lies flat.", "0", measured(of(&C::tilt))),
        number("azimuth_deg", "degrees", {0, 360}, "Where it looks to, from north over east: 180 is south.", "180",
               measured(of(&C::azimuth))),
        number("horizon_deg", "degrees", {0, 89}, "Height of what stands around.", "0", measured(of(&C::horizon))),
        number("shade", "", {0, 1}, "Part of the direct sun that never arrives.", "0", measured(of(&C::shade))),
        word("mounting", mountings, "How it sits: a hot panel gives less.", "close-to-roof", of(&C::mounting)),
        number("power_per_k", "", {-0.01, 0}, "Relative change of its power per kelvin of cell temperature.", "-0.004",
               measured(of(&C::power_by_heat))),
        word("controller", controllers, "Follows the panels' best voltage, or ties them to the battery.", "tracking",
             of(&C::controller)),
        number("highest_input_v", "V", {5, 2000}, "Most that the controller stands from the panels.", "not checked",
               measured(of(&C::highest_input))),
        flag("string_fuses", "Each string of panels has a fuse.", "false", kept(of(&C::string_fuses))),
        number("panel_price", "", {0, 1e9}, "What one panel costs.", "unknown", measured(of(&C::panel_price))),
    };
}

}  // namespace

std::vector<Table> charger_tables() {
    Table table{.path = "charger",
                .presence = Presence::repeated,
                .meaning =
                    "Something that charges the battery; repeat the table for each. The keys from `panels` on are for "
                    "the sun only.",
                .enter = [](System& s) { s.equipment.chargers.emplace_back(); },
                .count = [](const System& s) { return s.equipment.chargers.size(); }};
    table.keys = every_charger();
    std::ranges::move(solar_only(), std::back_inserter(table.keys));
    return {std::move(table)};
}

}  // namespace amphora::describe
