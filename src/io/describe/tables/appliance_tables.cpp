// [[appliance]]: what uses the power.
#include "io/describe/tables/rows.hpp"
#include "io/describe/tables/tables.hpp"

namespace amphora::describe {
namespace {

using described::Feed;

constexpr Words<Feed, 3> feeds{{{"battery", Feed::battery}, {"inverter", Feed::inverter}, {"shore", Feed::shore}}};

constexpr auto of = [](auto member) {
    return [member](auto& s, auto i) -> auto& { return s.equipment.appliances[i].*member; };
};
using A = described::Appliance;

}  // namespace

std::vector<Table> appliance_tables() {
    Table table{.path = "appliance",
                .presence = Presence::repeated,
                .meaning = "Something that uses power; repeat the table for each. Give `power_w` or `current_a`.",
                .enter = [](System& s) { s.equipment.appliances.emplace_back(); },
                .count = [](const System& s) { return s.equipment.appliances.size(); }};
    table.keys = {
        required(text("name", "What you call it; no two alike.", "", kept(of(&A::name)))),
        number("power_w", "W", {0, 100'000},
               "What it takes while it runs; of an appliance behind an inverter, at its own plug.", "from `current_a`",
               measured(of(&A::power))),
        number("current_a", "A", {0, 10'000}, "The same as a current, at the system's nominal voltage.",
               "from `power_w`", measured(of(&A::current))),
        number("standby_w", "W", {0, 10'000}, "What it takes around the clock, on top.", "0",
               measured(of(&A::standby))),
        number("surge_w", "W", {0, 100'000}, "What it takes for a moment when it starts.", "as `power_w`",
               measured(of(&A::surge))),
        number("duty", "", {0.001, 1},
               "Part of its on-time in which it really draws power: a refrigerator's compressor.", "1",
               measured(of(&A::duty))),
        list("on_h", "h", {0, 24}, "Clock hours from and to, in pairs: `[7, 9, 18, 22.5]`.", "all day",
             measured(of(&A::on))),
        number("daily_h", "h", {0, 24}, "How long it runs a day, spread over `on_h`.", "all of `on_h`",
               measured(of(&A::hours_a_day))),
        number("days_a_week", "", {0, 7}, "On how many days a week.", "7", measured(of(&A::days_a_week))),
        list("months", "", {1, 12}, "In which months: `[11, 12, 1, 2]`.", "all", measured(of(&A::months))),
        whole("count", {1, 1000}, "How many of them.", "1", kept(of(&A::count))),
        word("fed_by", feeds, "What feeds it.", "battery", of(&A::feed)),
        text("circuit", "Name of the circuit that feeds it, where the battery does.", "none", kept(of(&A::circuit))),
        number(
            "measured_w", "W", {0, 100'000},
            "What `amphora draw` measured at the battery, on average while it is on. The plan goes by it in place of "
            "`power_w` and `duty`.",
            "not measured", measured(of(&A::measured))),
        number("measured_band_w", "W", {0, 100'000}, "Half the width of its 90 % band.", "not measured",
               measured(of(&A::measured_band))),
        Key{.name = "measured_on",
            .kind = Kind::date,
            .meaning = "When that was.",
            .otherwise = {"not measured", "-", {}}},
        number("price", "", {0, 1e9}, "What it costs.", "unknown", measured(of(&A::price))),
    };
    return {std::move(table)};
}

}  // namespace amphora::describe
