// [[meter]]: the shunts.
#include <algorithm>
#include <iterator>

#include "io/describe/slot.hpp"
#include "io/describe/tables/tables.hpp"

namespace amphora::describe {

std::vector<Table> meter_tables() {
    Table meter{.path = "meter",
                .presence = Presence::repeated,
                .meaning =
                    "A shunt; repeat the table for each. Its rated pair turns the drop across it into amperes: give "
                    "both or neither.",
                .enter =
                    [](System& s) {
                        s.meters.emplace_back();
                        s.equipment.meters.emplace_back();
                    },
                .count = [](const System& s) { return s.meters.size(); }};
    meter.keys = {
        {.name = "name",
         .kind = Kind::text,
         .range = {1, 40},
         .meaning = "What you call it; no two alike.",
         .otherwise = {"\"shunt\"", "the name is only shown", [](auto&, auto) { return Value("shunt"); }},
         .slot = kept([](auto& s, auto i) -> auto& { return s.meters[i].name; })},
        {.name = "rated_current_a",
         .kind = Kind::number,
         .unit = "A",
         .range = {0.1, 20'000},
         .meaning = "Current printed on the shunt.",
         .otherwise = {"none", "without the pair a log must give amperes", {}},
         .slot = measured([](auto& s, auto i) -> auto& { return s.meters[i].rated_current; })},
        {.name = "rated_drop_mv",
         .kind = Kind::number,
         .unit = "mV",
         .range = {1, 1000},
         .meaning = "Drop across it at that current, printed beside it: 50, 60, 75, 100.",
         .otherwise = {"none", "without the pair a log must give amperes", {}},
         .slot = measured([](auto& s, auto i) -> auto& { return s.meters[i].rated_drop; }, 1e-3)},
    };
    std::ranges::move(shunt_keys(), std::back_inserter(meter.keys));
    return {std::move(meter)};
}

}  // namespace amphora::describe
