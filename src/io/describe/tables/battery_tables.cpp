// [battery], [battery.full] and [battery.ocv].
#include <fmt/format.h>

#include <algorithm>
#include <iterator>

#include "io/describe/chemistry_defaults.hpp"
#include "io/describe/slot.hpp"
#include "io/describe/tables/tables.hpp"

namespace amphora::describe {
namespace {

using Word = std::pair<std::string_view, Chemistry>;

const std::vector<Word>& chemistry_words() {
    static const auto words = [] {
        std::vector<Word> all;
        for (const auto& row : all_chemistries()) all.emplace_back(row.word, row.chemistry);
        return all;
    }();
    return words;
}

std::vector<std::string_view> names(const std::vector<Word>& words) {
    std::vector<std::string_view> all;
    all.reserve(words.size());
    for (const auto& [word, meaning] : words) all.push_back(word);
    return all;
}

const ChemistryDefaults& chemistry_of(const System& s) { return defaults_of(s.battery.chemistry); }

constexpr std::string_view by_chemistry = "by chemistry, see below";

std::string why_full(const System& s) {
    return fmt::format("{}: {}", chemistry_of(s).word, chemistry_of(s).full_source);
}

std::string why_so_many_cells(const System& s) {
    const auto& kind = chemistry_of(s);
    std::string others;
    for (int cells = s.battery.cells_in_series - 2; cells <= s.battery.cells_in_series + 2; ++cells)
        if (cells != s.battery.cells_in_series && cells_fit(kind, cells, s.nominal_voltage))
            others += fmt::format("{}{}", others.empty() ? "; count yours, this may also be " : " or ", cells);
    return fmt::format("{} V of cells of {} V nominal ({}){}", s.nominal_voltage.value(), kind.nominal.value(),
                       kind.word, others);
}

Table battery() {
    Table table{.path = "battery", .meaning = "The house battery, all parallel strings together."};
    table.keys = {
        {.name = "chemistry",
         .kind = Kind::word,
         .words = names(chemistry_words()),
         .required = true,
         .meaning = "What it is made of.",
         .slot = chosen<Chemistry>(chemistry_words(), [](auto& s, auto) -> auto& { return s.battery.chemistry; })},
        {.name = "design_capacity_ah",
         .kind = Kind::number,
         .unit = "Ah",
         .range = {0.1, 100'000},
         .required = true,
         .meaning = "Capacity on its label, of all parallel strings together.",
         .slot = measured([](auto& s, auto) -> auto& { return s.battery.design_capacity; })},
        {.name = "rated_over_h",
         .kind = Kind::number,
         .unit = "h",
         .range = {0.1, 240},
         .meaning = "Hours of discharge for which that capacity is stated: 20 for C20.",
         .otherwise = {"20 for lead-acid, 5 for lithium",
                       "C20 is common practice for leisure lead-acid batteries, no source; IEC 61960 states lithium "
                       "cells at 0.2 C, from memory",
                       [](const System& s, auto) { return Value(chemistry_of(s).rated_over.value()); }},
         .slot = measured([](auto& s, auto) -> auto& { return s.battery.rated_over; })},
        {.name = "cells_in_series",
         .kind = Kind::whole,
         .range = {1, 400},
         .meaning = "Cells in one string: 4 for LFP of 12 V, 6 for lead-acid of 12 V.",
         .otherwise = {"from `system.nominal_voltage_v` and chemistry", "nominal cell voltages, see below",
                       [](const System& s, auto) {
                           return Value(std::int64_t{likely_cells(chemistry_of(s), s.nominal_voltage)});
                       },
                       why_so_many_cells},
         .slot = kept([](auto& s, auto) -> auto& { return s.battery.cells_in_series; })},
        {.name = "reserve",
         .kind = Kind::number,
         .range = {0, 0.9},
         .meaning = "Part of the capacity that is not to be used (0.2 is 20 %); time to empty counts down to it.",
         .otherwise = {"0.5 for lead-acid, 0.2 for lithium", "for a long life; common practice, no source",
                       [](const System& s, auto) { return Value(chemistry_of(s).reserve.value()); }},
         .slot = measured([](auto& s, auto) -> auto& { return s.battery.reserve; })},
        {.name = "installed",
         .kind = Kind::date,
         .meaning = "Day on which it was put in, new.",
         .otherwise = {"unknown", "only you know it", {}},
         .slot = kept([](auto& s, auto) -> auto& { return s.battery.installed; })},
    };
    std::ranges::move(bank_keys(), std::back_inserter(table.keys));
    return table;
}

Table full() {
    Table table{.path = "battery.full",
                .meaning =
                    "What counts as full here: the voltage at or above `voltage_v` and the current into the "
                    "battery at or below `current_below_a`, both held for `for_s`."};
    table.keys = {
        {.name = "voltage_v",
         .kind = Kind::number,
         .unit = "V",
         .range = {1, 2000},
         .meaning = "Of the whole battery; a little below what your chargers hold at the end.",
         .otherwise = {by_chemistry, by_chemistry,
                       [](const System& s, auto) {
                           return Value((chemistry_of(s).full_voltage * s.battery.cells_in_series).value());
                       },
                       why_full},
         .slot = measured([](auto& s, auto) -> auto& { return s.battery.full.voltage; })},
        {.name = "current_below_a",
         .kind = Kind::number,
         .unit = "A",
         .range = {0.001, 10'000},
         .meaning = "Current into the battery once its charge has tapered off.",
         .otherwise = {by_chemistry, by_chemistry,
                       [](const System& s, auto) {
                           return Value(chemistry_of(s).full_current.value() * s.battery.design_capacity.value());
                       },
                       why_full},
         .slot = measured([](auto& s, auto) -> auto& { return s.battery.full.current_below; })},
        {.name = "for_s",
         .kind = Kind::number,
         .unit = "s",
         .range = {0, 86'400},
         .meaning = "How long both must hold.",
         .otherwise = {by_chemistry, by_chemistry,
                       [](const System& s, auto) { return Value(chemistry_of(s).full_time.value()); }, why_full},
         .slot = measured([](auto& s, auto) -> auto& { return s.battery.full.held_for; })},
    };
    return table;
}

Table ocv() {
    Table table{.path = "battery.ocv",
                .presence = Presence::optional,
                .meaning =
                    "A measured curve of this battery's voltage at rest, per cell: two lists of equal length, both "
                    "increasing. Without it the curve of the chemistry is used.",
                .enter = [](System& s) { s.battery.ocv.emplace(); },
                .count = [](const System& s) { return std::size_t{s.battery.ocv ? 1U : 0U}; }};
    table.keys = {
        {.name = "state_of_charge",
         .kind = Kind::numbers,
         .range = {0, 1},
         .required = true,
         .meaning = "The first is 0.0, the last 1.0.",
         .slot = measured([](auto& s, auto) -> auto& { return s.battery.ocv->state_of_charge; })},
        {.name = "voltage_v",
         .kind = Kind::numbers,
         .unit = "V",
         .range = {0.5, 5},
         .required = true,
         .meaning = "Per cell, rested, at those states of charge.",
         .slot = measured([](auto& s, auto) -> auto& { return s.battery.ocv->voltage; })},
    };
    return table;
}

}  // namespace

std::vector<Table> battery_tables() { return {battery(), full(), ocv()}; }

}  // namespace amphora::describe
