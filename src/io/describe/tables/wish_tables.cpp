// [wishes]: what the person wants of it.
#include "io/describe/tables/rows.hpp"
#include "io/describe/tables/tables.hpp"

namespace amphora::describe {

std::vector<Table> wish_tables() {
    Table table{.path = "wishes",
                .presence = Presence::optional,
                .meaning = "What you want of it; `amphora size` proposes parts for this.",
                .enter = [](System& s) { s.equipment.wishes.emplace(); },
                .count = [](const System& s) { return std::size_t{s.equipment.wishes ? 1U : 0U}; }};
    table.keys = {
        number("days_without_sun", "", {0, 60}, "How long the battery alone must last.", "2",
               measured([](auto& s, auto) -> auto& { return s.equipment.wishes->days_without_sun; })),
        list("months", "", {1, 12}, "Months of use.", "all",
             measured([](auto& s, auto) -> auto& { return s.equipment.wishes->months; })),
        number("budget", "", {0, 1e9}, "Most that the parts may cost.", "no limit",
               measured([](auto& s, auto) -> auto& { return s.equipment.wishes->budget; })),
        text("currency", "Of every price in this file.", "EUR",
             kept([](auto& s, auto) -> auto& { return s.equipment.wishes->currency; })),
    };
    return {std::move(table)};
}

}  // namespace amphora::describe
