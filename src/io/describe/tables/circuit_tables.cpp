// [[circuit]]: cables and their fuses.
#include "core/design/fuse.hpp"
#include "io/describe/tables/rows.hpp"
#include "io/describe/tables/tables.hpp"

namespace amphora::describe {
namespace {

using described::Negative;
using described::Purpose;

constexpr Words<Purpose, 5> purposes{{{"load", Purpose::load},
                                      {"main", Purpose::main},
                                      {"panel", Purpose::panel},
                                      {"inverter", Purpose::inverter},
                                      {"charger", Purpose::charger}}};
constexpr Words<Negative, 3> negatives{
    {{"shunt", Negative::shunt}, {"battery", Negative::battery}, {"chassis", Negative::chassis}}};

constexpr auto of = [](auto member) {
    return [member](auto& s, auto i) -> auto& { return s.equipment.circuits[i].*member; };
};
using C = described::Circuit;

Key fuse_kind() {
    Key key = text("fuse_kind", "Kind of fuse or breaker, by its standard's form.", "none", kept(of(&C::fuse_kind)));
    key.kind = Kind::word;
    for (const auto& kind : design::fuse_kinds()) key.words.push_back(kind.name);
    return key;
}

}  // namespace

std::vector<Table> circuit_tables() {
    Table table{.path = "circuit",
                .presence = Presence::repeated,
                .meaning =
                    "A run of two wires with its fuse; repeat the table for each. It begins at the battery or at the "
                    "end of another "
                    "circuit. Give `cable_mm2` or `cable_awg`, and `length_m`.",
                .enter = [](System& s) { s.equipment.circuits.emplace_back(); },
                .count = [](const System& s) { return s.equipment.circuits.size(); }};
    table.keys = {
        required(text("name", "What you call it; no two alike.", "", kept(of(&C::name)))),
        text("from", "`\"battery\"`, or the circuit at whose end it begins.", "battery", kept(of(&C::from))),
        word("purpose", purposes,
             "What it is for: a feeder to everything (main), to a fuse panel, an inverter, a charger, or a load.",
             "load", of(&C::purpose)),
        flag("critical", "Loses at most 3 % of the voltage instead of 10 %: pumps, navigation lights, radios.", "false",
             kept(of(&C::critical))),
        number("cable_mm2", "mm2", {0.5, 120}, "Cross-section, a size of IEC 60228.", "none", measured(of(&C::cable))),
        text("cable_awg", "American gauge instead: `\"10\"`, `\"2/0\"`.", "none", kept(of(&C::gauge))),
        number("insulation_c", "C", {60, 200}, "Temperature that the insulation stands, printed on the cable.", "70",
               measured(of(&C::insulation))),
        number("length_m", "m", {0.01, 500}, "Length one way.", "none", measured(of(&C::length))),
        whole("bundled", {1, 200}, "Current-carrying wires that lie together, this pair included.", "1",
              kept(of(&C::bundled))),
        flag("engine_space", "Runs through an engine space (50 C).", "false", kept(of(&C::engine_space))),
        number("ambient_c", "C", {-40, 120}, "Hottest surroundings.", "30", measured(of(&C::ambient))),
        flag("sheathed", "The wire to its fuse lies in a sheath or conduit all the way.", "false",
             kept(of(&C::sheathed))),
        fuse_kind(),
        number("fuse_a", "A", {0.1, 2000}, "Its rating.", "none", measured(of(&C::fuse))),
        number("fuse_interrupts_a", "A", {10, 200'000}, "Greatest current that it breaks, by its data sheet.",
               "usual for its kind", measured(of(&C::fuse_interrupts))),
        number("fuse_voltage_v", "V", {6, 2000}, "Greatest voltage, by its data sheet.", "usual for its kind",
               measured(of(&C::fuse_voltage))),
        number("fuse_from_source_m", "m", {0, 100}, "Wire between the source and the fuse.", "unknown",
               measured(of(&C::fuse_from_source))),
        number("continuous_a", "A", {0, 10'000}, "Current it has to carry for good.", "what hangs on it",
               measured(of(&C::continuous))),
        number("surge_a", "A", {0, 20'000}, "Current it has to carry for a moment.", "what hangs on it",
               measured(of(&C::surge))),
        word("negative", negatives,
             "Where its negative wire ends: on the load side of the shunt, on the battery's post, or on the body.",
             "shunt", of(&C::negative)),
        text("lug", "Cable size that its terminals are made for: `\"16\"`, `\"2/0\"`.", "not checked",
             kept(of(&C::lug))),
        number("price", "", {0, 1e9}, "What cable and fuse cost.", "unknown", measured(of(&C::price))),
    };
    return {std::move(table)};
}

}  // namespace amphora::describe
