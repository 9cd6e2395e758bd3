#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <set>

#include "io/intake/cells.hpp"
#include "io/intake/column_words.hpp"
#include "io/intake/look.hpp"

namespace amphora::intake {
namespace {

constexpr std::array quantities{Quantity::current, Quantity::voltage, Quantity::power, Quantity::temperature,
                                Quantity::shunt_drop};
constexpr std::size_t most_series = 100;

bool is_of_the_battery(std::string_view name) {
    return std::ranges::any_of(quantities, [&](Quantity q) { return fit_of(name, q) > 0; });
}

class Series {
public:
    explicit Series(Look& look) : look_(look) {}

    void find() {
        const auto by_name = [this](const SampleColumn& c) { return !look_.is_time(c) && is_of_the_battery(c.name); };
        if (!look_.has_names() || std::ranges::any_of(look_.columns(), by_name)) return;
        for (const auto& names : look_.columns()) {
            if (look_.is_time(names) || look_.is_numeric(names)) continue;
            const auto words = words_of(names);
            const SampleColumn* values = words.empty() ? nullptr : values_beside(names);
            if (values == nullptr || !(tells_quantities(words) || is_called_value(*values))) continue;
            // As a log that is grouped begins: more of it may tell more names.
            look_.proposal().series_open = changes_in(names) < words.size();
            return take(names, *values);
        }
    }

private:
    using Words = std::set<std::string_view>;

    /// The words of a column in which few come again and again; none of other columns.
    static Words words_of(const SampleColumn& column) {
        Words seen;
        for (const auto& cell : column.cells) {
            seen.insert(cell);
            if (seen.size() > most_series) return {};
        }
        return seen.size() * 2 <= column.cells.size() ? seen : Words{};
    }

    static bool tells_quantities(const Words& words) {
        return std::ranges::any_of(words, [](std::string_view name) {
            return fit_of(name, Quantity::current) > 0 || fit_of(name, Quantity::voltage) > 0;
        });
    }

    static std::size_t changes_in(const SampleColumn& column) {
        std::size_t changes = 0;
        for (std::size_t i = 1; i < column.cells.size(); ++i) changes += column.cells[i] == column.cells[i - 1] ? 0 : 1;
        return changes;
    }

    static bool is_called_value(const SampleColumn& column) {
        constexpr std::array called{"value", "state", "val", "reading", "measurement", "wert", "valeur", "_value"};
        return std::ranges::find(called, lower_case(column.id)) != called.end();
    }

    /// The only column of numbers beside it, or the one that is called value or state.
    const SampleColumn* values_beside(const SampleColumn& names) const {
        const SampleColumn* only = nullptr;
        std::size_t found = 0;
        for (const auto& column : look_.columns()) {
            if (&column == &names || look_.is_time(column)) continue;
            if (is_called_value(column)) return &column;
            if (!look_.is_numeric(column)) continue;
            only = &column;
            ++found;
        }
        return found == 1 ? only : nullptr;
    }

    /// The column whose cells are units.
    const SampleColumn* units() const {
        for (const auto& column : look_.columns()) {
            const auto is_unit = [](const std::string& cell) { return is_unit_cell(cell); };
            const auto count = std::ranges::count_if(column.cells, is_unit);
            if (!column.cells.empty() && 2 * static_cast<std::size_t>(count) > column.cells.size()) return &column;
        }
        return nullptr;
    }

    /// Each series as a column of its own, as if the log had been written so.
    void take(const SampleColumn& names, const SampleColumn& values) {
        look_.mapping().series = SeriesColumns{names.id, values.id};
        look_.note(fmt::format("each line holds one value: {} says of what, {} how much", in_quotes(names.id),
                               in_quotes(values.id)));
        const SampleColumn* unit = units();
        std::vector<SampleColumn> columns;
        for (const auto& column : look_.columns())
            if (look_.is_time(column)) columns.push_back(column);
        for (std::size_t i = 0; i < std::min(names.cells.size(), values.cells.size()); ++i) {
            const std::string& name = names.cells[i];
            auto column = std::ranges::find(columns, name, &SampleColumn::id);
            if (column == columns.end()) {
                const bool has_unit = unit != nullptr && i < unit->cells.size() && is_unit_cell(unit->cells[i]);
                columns.push_back({name, has_unit ? fmt::format("{} [{}]", name, unit->cells[i]) : name, {}});
                column = std::prev(columns.end());
            }
            column->cells.push_back(values.cells[i]);
        }
        look_.replace_columns(std::move(columns));
    }

    Look& look_;
};

}  // namespace

void find_series(Look& look) { Series(look).find(); }

}  // namespace amphora::intake
