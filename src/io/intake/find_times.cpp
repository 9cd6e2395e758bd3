#include <fmt/core.h>

#include <algorithm>

#include "io/intake/cells.hpp"
#include "io/intake/column_words.hpp"
#include "io/intake/look.hpp"
#include "io/intake/time_guess.hpp"

namespace amphora::intake {
namespace {

constexpr std::size_t most_time_columns = 12;

class Times {
public:
    explicit Times(Look& look) : look_(look), m_(look.mapping()) {}

    void find() {
        std::vector<Column> named;
        for (const auto& column : look_.columns())
            if (!(m_.header || m_.json_lines) || fit_of(column.name, Quantity::time) > 0) named.push_back(&column);
        if (named.size() > most_time_columns) named.resize(most_time_columns);
        if (named.empty() && one_unnamed_column()) return settle_order();
        if (named.empty())
            return look_.doubt(fmt::format("no column of times was found among {}", look_.names_of_columns()));
        if (std::ranges::all_of(named, [](Column c) { return c->cells.empty(); }))
            return look_.doubt("there are no readings below its header");
        const bool found = one_column(named, false) || two_columns(named) || one_column(named, true);
        if (!found) {
            m_.time_columns = {named.front()->id};
            m_.time_format.clear();
            return look_.doubt(
                fmt::format("the times in {}, such as {}, are written in a way that is not known here; say in a "
                            "mapping file how, as in time_format = \"%d.%m.%Y %H:%M:%S\"",
                            in_quotes(named.front()->id),
                            in_quotes(named.front()->cells.empty() ? "" : named.front()->cells.front())));
        }
        settle_order();
    }

private:
    using Column = const SampleColumn*;

    /// Where no name speaks of times, a column whose figures can be nothing else.
    bool one_unnamed_column() {
        for (const auto& column : look_.columns()) {
            const TimeGuess guess = guess_time(column.cells, m_.zone);
            if (guess.format.empty() || guess.relative || guess.format == "spreadsheet_days") continue;
            take_times({column.id}, guess);
            return true;
        }
        return false;
    }

    bool one_column(const std::vector<Column>& named, bool relative_too) {
        for (const Column column : named) {
            const TimeGuess guess = guess_time(column->cells, m_.zone);
            if (guess.format.empty()) continue;
            const bool ours = lower_case(column->id) == "time_utc";
            if (guess.relative && !ours && !relative_too) continue;
            // Without a header any number looks like a moment.
            if (guess.format.starts_with("unix") && guess.relative && !m_.header && !m_.json_lines) continue;
            take_times({column->id}, guess);
            if (guess.relative && !ours)
                look_.doubt(fmt::format(
                    "the times in {} count from the start of the log; say in the mapping file when that was: "
                    "starts_at = \"2026-05-01T08:00:00\"",
                    in_quotes(column->id)));
            return true;
        }
        return false;
    }

    bool two_columns(const std::vector<Column>& named) {
        for (const Column day : named)
            for (const Column clock : named) {
                if (day == clock) continue;
                std::vector<std::string> joined;
                for (std::size_t i = 0; i < std::min(day->cells.size(), clock->cells.size()); ++i)
                    joined.push_back(day->cells[i] + " " + clock->cells[i]);
                const TimeGuess guess = guess_time(joined, m_.zone);
                if (guess.format.empty()) continue;
                take_times({day->id, clock->id}, guess);
                return true;
            }
        return false;
    }

    void take_times(std::vector<std::string> columns, const TimeGuess& guess) {
        m_.time_columns = std::move(columns);
        for (const auto& id : m_.time_columns)
            if (const Column column = look_.column(id); column != nullptr && names_utc(column->name)) m_.zone = "UTC";
        m_.time_format = guess.format;
        turned_ = guess.turned;
    }

    void settle_order() {
        if (turned_.empty()) return;
        switch (date_order(look_.text(), m_, turned_)) {
            case DateOrder::as_mapped:
                return look_.note("in the dates the day stands before the month: so the log goes on without jumps");
            case DateOrder::turned:
                m_.time_format = turned_;
                return look_.note("in the dates the month stands before the day: so the log goes on without jumps");
            case DateOrder::open:
                look_.proposal().order_open = true;
                return look_.doubt(
                    fmt::format("day and month could be either way round in these dates; say in a mapping file "
                                "time_format = \"{}\" or \"{}\"",
                                m_.time_format, turned_));
        }
    }

    Look& look_;
    Mapping& m_;
    std::string turned_;  // the format with day and month the other way round
};

}  // namespace

void find_times(Look& look) { Times(look).find(); }

}  // namespace amphora::intake
