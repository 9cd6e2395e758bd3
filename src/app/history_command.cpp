#include "app/history_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>
#include <nlohmann/json.hpp>
#include <vector>

#include "app/derived_record.hpp"
#include "app/guard_history.hpp"
#include "io/text/json_number.hpp"

namespace amphora::app {
namespace {

using Json = nlohmann::ordered_json;

constexpr double full = 0.99;  // from here on the battery counts as full

struct HistoryOptions {
    RecordOptions record;
    std::string by = "day";
    std::string from;
    std::string to;
    bool json = false;
    bool csv = false;
    bool plot = false;
    bool guards = false;
};

struct Period {
    ledger::Rollup sum;
    std::int64_t end_us = 0;
    double soc_low = std::numeric_limits<double>::quiet_NaN();
    double soc_high = std::numeric_limits<double>::quiet_NaN();
    double hours_full = 0.0;
};

std::int64_t start_of(const record::LocalDays& days, const std::string& by, std::int64_t us) {
    return by == "week" ? days.week_start(us) : by == "month" ? days.month_start(us) : days.day_start(us);
}

std::vector<Period> periods_of(const std::vector<ledger::Rollup>& days, const record::LocalDays& zone,
                               const std::string& by) {
    std::vector<Period> periods;
    for (const auto& day : days) {
        const std::int64_t start = start_of(zone, by, day.start_us);
        if (periods.empty() || periods.back().sum.start_us != start) periods.emplace_back().sum.start_us = start;
        periods.back().sum.merge(day);
        periods.back().end_us = zone.day_start(day.start_us, 1);
    }
    return periods;
}

/// Takes estimates in order of time and adds them to their periods: never all of them in memory.
class EstimatesByPeriod {
public:
    explicit EstimatesByPeriod(std::vector<Period>& periods) : period_(periods.begin()), end_(periods.end()) {}

    void push(const record::Estimated& estimate) {
        const Second since = estimate.at - last_.at;
        if (in_period_ && last_.state_of_charge.mean.value() >= full && since.value() < 3600.0)
            period_->hours_full += to_hours(since).value();
        last_ = estimate;
        while (period_ != end_ && estimate.at.us >= period_->end_us) ++period_;
        in_period_ = period_ != end_ && estimate.at.us >= period_->sum.start_us;
        if (!in_period_) return;
        const double soc = estimate.state_of_charge.mean.value();
        period_->soc_low = std::fmin(period_->soc_low, soc);
        period_->soc_high = std::fmax(period_->soc_high, soc);
    }

private:
    std::vector<Period>::iterator period_;
    std::vector<Period>::iterator end_;
    record::Estimated last_{};
    bool in_period_ = false;
};

/// Sums of what was never measured are not known, rather than nought.
double charge(const Period& p, AmpHour sum) {
    return p.sum.current.known > 0 ? sum.value() : AmpHour::missing().value();
}
double energy(const Period& p, WattHour sum) {
    return p.sum.current.known > 0 && p.sum.voltage.known > 0 ? sum.value() : WattHour::missing().value();
}

constexpr const char* nothing = "–";

std::string cell(double value, int decimals) {
    return std::isfinite(value) ? fmt::format("{:.{}f}", value, decimals) : nothing;
}

std::string range(double low, double high, int decimals) {
    return std::isfinite(low) || std::isfinite(high) ? cell(low, decimals) + ".." + cell(high, decimals) : nothing;
}

/// Characters as they stand in a terminal: bytes that go on with a character of UTF-8 take no room.
std::size_t width(const std::string& text) {
    return static_cast<std::size_t>(
        std::ranges::count_if(text, [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

using Row = std::array<std::string, 10>;

/// As wide as the widest figure in each column, so that columns never touch.
void print_rows(const std::vector<Row>& rows) {
    std::array<std::size_t, std::tuple_size_v<Row>> widths{};
    for (const Row& row : rows)
        for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], width(row[i]));
    for (const Row& row : rows) {
        std::string line = row[0] + std::string(widths[0] - width(row[0]), ' ');
        for (std::size_t i = 1; i < row.size(); ++i)
            line += "  " + std::string(widths[i] - width(row[i]), ' ') + row[i];
        fmt::print("{}\n", line);
    }
}

void print_table(const std::vector<Period>& periods, const record::LocalDays& zone, const std::string& by) {
    std::vector<Row> rows{
        {by, "in Ah", "out Ah", "in Wh", "out Wh", "charge %", "voltage V", "full h", "temp. C", "seen"}};
    for (const auto& p : periods) {
        const auto& s = p.sum;
        const double seen = static_cast<double>(s.covered_us) / static_cast<double>(p.end_us - s.start_us);
        rows.push_back({zone.date(s.start_us), cell(charge(p, s.in()), 1), cell(charge(p, s.out()), 1),
                        cell(energy(p, s.taken_in()), 0), cell(energy(p, s.given_out()), 0),
                        range(p.soc_low * 100.0, p.soc_high * 100.0, 0),
                        range(s.voltage.lowest(), s.voltage.highest(), 2), cell(p.hours_full, 1),
                        range(s.temperature.lowest(), s.temperature.highest(), 1), cell(seen * 100.0, 0) + " %"});
    }
    print_rows(rows);
}

Json as_json(const Period& p, const record::LocalDays& zone) {
    const auto& s = p.sum;
    return {{"start", zone.date(s.start_us)},
            {"start_utc", static_cast<double>(s.start_us) / 1e6},
            {"readings", s.readings},
            {"covered_h", static_cast<double>(s.covered_us) / 3.6e9},
            {"charge_in_ah", text::json_number(charge(p, s.in()))},
            {"charge_out_ah", text::json_number(charge(p, s.out()))},
            {"energy_in_wh", text::json_number(energy(p, s.taken_in()))},
            {"energy_out_wh", text::json_number(energy(p, s.given_out()))},
            {"state_of_charge_min", text::json_number(p.soc_low)},
            {"state_of_charge_max", text::json_number(p.soc_high)},
            {"voltage_min_v", text::json_number(s.voltage.lowest())},
            {"voltage_max_v", text::json_number(s.voltage.highest())},
            {"current_min_a", text::json_number(s.current.lowest())},
            {"current_max_a", text::json_number(s.current.highest())},
            {"temperature_min_c", text::json_number(s.temperature.lowest())},
            {"temperature_mean_c", text::json_number(s.temperature.mean())},
            {"temperature_max_c", text::json_number(s.temperature.highest())},
            {"hours_full", p.hours_full}};
}

void print_csv(const std::vector<Period>& periods, const record::LocalDays& zone) {
    bool header = false;
    for (const auto& p : periods) {
        const Json row = as_json(p, zone);
        std::string names;
        std::string values;
        for (const auto& [name, value] : row.items()) {
            names += (names.empty() ? "" : ",") + name;
            values += (values.empty() ? "" : ",") + (value.is_string() ? value.get<std::string>()
                                                     : value.is_null() ? ""
                                                                       : value.dump());
        }
        if (!header) fmt::print("{}\n", names);
        header = true;
        fmt::print("{}\n", values);
    }
}

/// A bar for what came in and one for what went out.
void print_plot(const std::vector<Period>& periods, const record::LocalDays& zone) {
    constexpr double width = 50.0;
    double most = 1e-9;
    for (const auto& p : periods) most = std::max({most, p.sum.in().value(), p.sum.out().value()});
    for (const auto& p : periods) {
        const auto bar = [&](double ah, const char* mark) {
            std::string text;
            for (int i = 0; i < static_cast<int>(std::lround(ah / most * width)); ++i) text += mark;
            return text;
        };
        fmt::print("{:<11}in  {:>7.1f} Ah {}\n{:<11}out {:>7.1f} Ah {}\n", zone.date(p.sum.start_us),
                   p.sum.in().value(), bar(p.sum.in().value(), "+"), "", p.sum.out().value(),
                   bar(p.sum.out().value(), "-"));
    }
}

/// What the guards did may lie beyond the readings: without days asked for it is all of it.
std::expected<record::Span, Exit> acts_span(const record::Reader& reader, const HistoryOptions& options) {
    if (options.from.empty() && options.to.empty()) return record::Span{INT64_MIN, INT64_MAX};
    return span_of(reader, options.from, options.to);
}

Exit history(const HistoryOptions& options) {
    const auto place = locate_record(options.record);
    if (!place) return place.error();
    if (options.guards) {
        const auto reader = record::Reader::open(place->file);
        if (!reader) return report(reader.error());
        const auto span = acts_span(*reader, options);
        return span ? print_guard_history(*place, *reader, *span, options.json) : span.error();
    }
    // Without a description there is nothing to estimate with; the charge is counted all the same.
    const bool estimated = !options.record.system.empty();
    if (estimated)
        if (const Exit exit = bring_up_to_date(*place); exit != Exit::ok) return exit;
    const auto reader = record::Reader::open(place->file);
    if (!reader) return report(reader.error());
    const auto span = span_of(*reader, options.from, options.to);
    if (!span) return span.error();
    say_if_empty(*reader, *span);
    const record::Span whole_days{reader->days().day_start(span->from_us), span->to_us};
    const auto days = reader->rollups(ledger::day_us, whole_days);
    if (!days) return report(days.error());
    auto periods = periods_of(*days, reader->days(), options.by);
    if (estimated) {
        EstimatesByPeriod by_period(periods);
        const auto visited = record::visit_estimates(place->file, record::View::hindsight, whole_days,
                                                     [&](const auto& estimate) { by_period.push(estimate); });
        if (!visited) return report(visited.error());
    }
    if (options.json) {
        Json list = Json::array();
        for (const auto& p : periods) list.push_back(as_json(p, reader->days()));
        fmt::print("{}\n", Json{{"by", options.by}, {"zone", reader->days().zone()}, {"periods", list}}.dump(2));
    } else if (options.csv) {
        print_csv(periods, reader->days());
    } else if (options.plot) {
        print_plot(periods, reader->days());
    } else {
        print_table(periods, reader->days(), options.by);
    }
    return Exit::ok;
}

}  // namespace

Command history_command(CLI::App& program) {
    auto& command = add_command(program, "history", "What each day, week or month brought and took",
                                {"amphora history --system van.toml                     # a table, day by day",
                                 "amphora history --system van.toml --by month --plot",
                                 "amphora history --system van.toml --guards            # what the guards did",
                                 "amphora history --system van.toml --from 2024-07-01 --to 2024-07-31 --json"});
    auto options = std::make_shared<HistoryOptions>();
    add_record_options(command, options->record);
    command.add_option("--by", options->by, "day, week or month: length of the periods")
        ->check(CLI::IsMember({"day", "week", "month"}).description(""))
        ->type_name("PERIOD");
    command.add_option("--from", options->from, "first day")->type_name("DAY");
    command.add_option("--to", options->to, "last day")->type_name("DAY");
    auto* json = command.add_flag("--json", options->json, "result as JSON");
    auto* csv = command.add_flag("--csv", options->csv, "result as CSV")->excludes(json);
    auto* plot = command.add_flag("--plot", options->plot, "bars of charge in and out")->excludes(json)->excludes(csv);
    command.add_flag("--guards", options->guards, "what the guards and their relays did, one act a line")
        ->excludes(csv)
        ->excludes(plot);
    return {&command, [options] { return history(*options); }};
}

}  // namespace amphora::app
