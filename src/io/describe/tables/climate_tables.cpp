// [climate] and [[stay]]: the weather where the system is.
#include "core/sun/climate.hpp"
#include "io/describe/tables/rows.hpp"
#include "io/describe/tables/tables.hpp"

namespace amphora::describe {
namespace {

Key known_place(std::string_view meaning, std::string_view otherwise, Slot slot) {
    Key key = text("place", meaning, otherwise, std::move(slot));
    key.kind = Kind::word;
    for (const auto& place : sun::known_places()) key.words.push_back(place.name);
    return key;
}

Table climate() {
    Table table{.path = "climate",
                .presence = Presence::optional,
                .meaning =
                    "The weather: your own monthly means, a weather file, or a place of the built-in table. Without it "
                    "the nearest built-in "
                    "place to [place] is taken.",
                .enter = [](System& s) { s.equipment.climate.emplace(); },
                .count = [](const System& s) { return std::size_t{s.equipment.climate ? 1U : 0U}; }};
    table.keys = {
        known_place("A place of the built-in table.", "the nearest to [place]",
                    kept([](auto& s, auto) -> auto& { return s.equipment.climate->known_place; })),
        list("daily_kwh_per_m2", "kWh/m2", {0, 12}, "Sun on flat ground on a mean day of each month, January first.",
             "from the place", measured([](auto& s, auto) -> auto& { return s.equipment.climate->global_per_day; })),
        list("mean_c", "C", {-60, 50}, "Mean temperature of each month, January first.", "from the place",
             measured([](auto& s, auto) -> auto& { return s.equipment.climate->mean; })),
        text("weather_file", "A typical year as EPW, or as PVGIS's CSV; a relative path starts at this description.",
             "none", kept([](auto& s, auto) -> auto& { return s.equipment.climate->weather_file; })),
    };
    table.keys.back().range = {1, 1000};
    return table;
}

Table stay() {
    Table table{
        .path = "stay",
        .presence = Presence::repeated,
        .meaning =
            "A stretch of a route: where the system is in some months. Months without one are spent at [climate].",
        .enter = [](System& s) { s.equipment.route.emplace_back(); },
        .count = [](const System& s) { return s.equipment.route.size(); }};
    table.keys = {
        required(list("months", "", {1, 12}, "Which months.", "",
                      measured([](auto& s, auto i) -> auto& { return s.equipment.route[i].months; }))),
        required(known_place("A place of the built-in table.", "",
                             kept([](auto& s, auto i) -> auto& { return s.equipment.route[i].known_place; }))),
    };
    return table;
}

}  // namespace

std::vector<Table> climate_tables() { return {climate(), stay()}; }

}  // namespace amphora::describe
