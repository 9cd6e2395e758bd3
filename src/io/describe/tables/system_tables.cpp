// The top of the file, [system] and [place].
#include "io/describe/slot.hpp"
#include "io/describe/tables/tables.hpp"

namespace amphora::describe {
namespace {

Table top() {
    Table table{.path = "", .meaning = "At the top of the file, before the first table."};
    table.keys = {
        {.name = "format",
         .kind = Kind::whole,
         .range = {1, 1},
         .meaning = "Version of this format.",
         .otherwise = {"1", "the only format so far", [](auto&, auto) { return Value(std::int64_t{1}); }}},
    };
    return table;
}

Table system() {
    Table table{.path = "system", .meaning = "The installation as a whole."};
    table.keys = {
        {.name = "name",
         .kind = Kind::text,
         .range = {1, 80},
         .meaning = "What you call it.",
         .otherwise = {"\"unnamed\"", "the name is only shown", [](auto&, auto) { return Value("unnamed"); }},
         .slot = kept([](auto& s, auto) -> auto& { return s.name; })},
        {.name = "nominal_voltage_v",
         .kind = Kind::number,
         .unit = "V",
         .range = {1, 1000},
         .meaning = "The voltage that it goes by: 12, 24, 48.",
         .otherwise = {"12", "the commonest in vans and small boats; common practice, no source",
                       [](auto&, auto) { return Value(12.0); }},
         .slot = measured([](auto& s, auto) -> auto& { return s.nominal_voltage; })},
        {.name = "record",
         .kind = Kind::text,
         .range = {1, 1000},
         .meaning = "File that keeps the readings; a relative path starts at this description.",
         .otherwise = {"beside this file, ending in `.amphora`", "a record belongs with its description", {}},
         .slot = kept([](auto& s, auto) -> auto& { return s.record; })},
        {.name = "zone",
         .kind = Kind::text,
         .range = {1, 64},
         .meaning = "Time zone whose days and hours count, by its IANA name: `\"Europe/Lisbon\"`.",
         .otherwise = {"the computer's", "where the computer is, the person is", {}},
         .slot = kept([](auto& s, auto) -> auto& { return s.zone; })},
    };
    return table;
}

Table place() {
    Table table{.path = "place",
                .presence = Presence::optional,
                .meaning = "Where it stands, for the sun.",
                .enter = [](System& s) { s.place.emplace(); },
                .count = [](const System& s) { return std::size_t{s.place ? 1U : 0U}; }};
    table.keys = {
        {.name = "latitude",
         .kind = Kind::number,
         .unit = "degrees",
         .range = {-90, 90},
         .required = true,
         .meaning = "North is positive.",
         .slot = measured([](auto& s, auto) -> auto& { return s.place->latitude; })},
        {.name = "longitude",
         .kind = Kind::number,
         .unit = "degrees",
         .range = {-180, 180},
         .required = true,
         .meaning = "East is positive.",
         .slot = measured([](auto& s, auto) -> auto& { return s.place->longitude; })},
        {.name = "altitude_m",
         .kind = Kind::number,
         .unit = "m",
         .range = {-430, 6000},
         .meaning = "Height above the sea.",
         .otherwise = {"0", "sea level", [](auto&, auto) { return Value(0.0); }},
         .slot = measured([](auto& s, auto) -> auto& { return s.place->altitude; })},
    };
    return table;
}

}  // namespace

std::vector<Table> system_tables() { return {top(), system(), place()}; }

}  // namespace amphora::describe
