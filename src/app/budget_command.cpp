#include "app/budget_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <algorithm>
#include <fstream>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/description.hpp"
#include "app/measured_view.hpp"
#include "app/plan_file.hpp"
#include "core/design/energy.hpp"
#include "core/design/words.hpp"
#include "io/document/budget_chart.hpp"
#include "io/text/calendar.hpp"

namespace amphora::app {
namespace {

using design::Budget;
using design::BudgetLine;
using Json = nlohmann::ordered_json;

struct BudgetOptions {
    std::string file;
    std::string chart;
    std::string record;
    bool measured = false;
    bool json = false;
};

void print_row(std::string_view name, const design::ByMonth& values, std::string_view remark = "") {
    fmt::print("  {:<22}", name);
    for (const WattHour w : values) fmt::print("{:>7.0f}", w.value());
    fmt::print("{}{}\n", remark.empty() ? "" : "  ", remark);
}

void print_rule() { fmt::print("  {:-<22}{:-<84}\n", "", ""); }

void print_section(const char* title, const std::vector<BudgetLine>& lines) {
    fmt::print("{}\n", title);
    for (const BudgetLine& l : lines) print_row(l.name, l.per_day, l.measured);
}

void print_text(const design::Plan& plan, const Budget& b) {
    fmt::print("{}: watt-hours on a mean day of each month, at the battery\n\n  {:<22}", plan.name, "");
    for (const auto m : text::month_marks) fmt::print("{:>7}", m);
    fmt::print("\n");
    print_section("Takes", b.uses);
    print_section("Lost on the way", b.losses);
    print_rule();
    print_row("takes in all", b.used);
    print_section("Gives", b.gives);
    print_rule();
    print_row("gives in all", b.given);
    fmt::print("  {:<22}", "left over");
    for (int m = 0; m < 12; ++m) fmt::print("{:>7.0f}", b.balance(m).value());
    fmt::print("\n  {:<22}", "days of battery alone");
    for (const double d : b.days_of_battery) fmt::print("{:>7.1f}", d);
    fmt::print("\n\n");
    std::string lean;
    for (int m = 0; m < 12; ++m) {
        if (plan.wishes.months.at(static_cast<std::size_t>(m)) && b.balance(m) < WattHour(0.0)) {
            lean += fmt::format("{}{}", lean.empty() ? "" : ", ", text::month_marks.at(static_cast<std::size_t>(m)));
        }
    }
    if (!lean.empty()) fmt::print("The mean day takes more than it gives in: {}.\n", lean);
    if (plan.climate.given) {
        fmt::print("Sun: {}; a month's sun is known to about {:.0f} %.\n", plan.climate.source,
                   plan.climate.trust * 100.0);
    } else {
        fmt::print("No place is described, so the sun gives nothing here: add [place] or [climate].\n");
    }
    if (std::ranges::any_of(b.uses, [](const BudgetLine& l) { return !l.measured.empty(); }))
        fmt::print("Measured: at the battery, on average while it is on (`amphora draw`); the plan goes by it.\n");
    fmt::print("Mean days only: `amphora simulate` says how often it runs dry.\n");
}

/// The draw test of the appliance that a line is of; null without one.
Json draw_json(const design::Plan& plan, const BudgetLine& l) {
    const auto a = std::ranges::find(plan.appliances, l.name, &design::Appliance::name);
    if (l.measured.empty() || a == plan.appliances.end() || !a->measured) return nullptr;
    const design::MeasuredDraw& d = *a->measured;
    return {{"w", d.mean.value()},
            {"band_w", d.band.known() ? Json(d.band.value()) : Json(nullptr)},
            {"described_w", d.described.value()}};
}

Json as_json(const design::Plan& plan, const Budget& b) {
    const auto numbers = [](const design::ByMonth& v) {
        Json list = Json::array();
        for (const WattHour w : v) list.push_back(w.value());
        return list;
    };
    const auto lines = [&](const std::vector<BudgetLine>& all) {
        Json list = Json::array();
        for (const BudgetLine& l : all) {
            list.push_back({{"name", l.name}, {"wh_per_day", numbers(l.per_day)}});
            if (const Json draw = draw_json(plan, l); !draw.is_null()) list.back()["measured"] = draw;
        }
        return list;
    };
    return {{"takes", lines(b.uses)},      {"lost", lines(b.losses)},      {"gives", lines(b.gives)},
            {"takes_wh", numbers(b.used)}, {"gives_wh", numbers(b.given)}, {"days_of_battery", b.days_of_battery}};
}

/// The plan beside what its record measured.
Exit compare(const BudgetOptions& options, const design::Plan& plan) {
    const auto place = locate_record({.system = options.file, .record = options.record});
    if (!place) return place.error();
    const auto measured = measure(plan, *place);
    if (!measured) return measured.error();
    if (options.json) {
        fmt::print("{}\n", measured_json(*measured).dump(2, ' ', false, Json::error_handler_t::replace));
    } else {
        fmt::print("{}: {}", plan.name, measured_text(*measured));
    }
    return Exit::ok;
}

Exit budget(const BudgetOptions& options) {
    const auto plan = options.measured ? open_plan(options.file) : open_plan_with_loads(options.file);
    if (!plan) return plan.error();
    if (options.measured) return compare(options, *plan);
    const Budget b = design::budget_of(*plan);
    if (!options.chart.empty()) {
        if (const auto drawn = document::draw_budget(*plan, b, options.chart); !drawn) {
            fmt::print(stderr, "{}\n", drawn.error());
            return Exit::cannot_create;
        }
    }
    if (options.json) {
        fmt::print("{}\n", as_json(*plan, b).dump(2, ' ', false, Json::error_handler_t::replace));
    } else {
        print_text(*plan, b);
    }
    return Exit::ok;
}

}  // namespace

Command budget_command(CLI::App& program) {
    auto& command = add_command(program, "budget", "Show what a day takes and gives, month by month, losses included",
                                {"amphora budget van.toml                     # a table of watt-hours",
                                 "amphora budget van.toml --chart budget.svg  # and a chart",
                                 "amphora budget van.toml --record            # beside what the record measured"});
    auto options = std::make_shared<BudgetOptions>();
    add_description_option(command, options->file)->required();
    command.add_option("--chart", options->chart, "draw a chart into this file, .svg or .pdf")->type_name("FILE");
    auto* record = command.add_option("--record", options->record,
                                      "compare with the record: the one beside the description, or this one");
    record->type_name("[FILE]")->expected(0, 1);
    command.add_flag("--json", options->json, "result as JSON on stdout");
    return {&command, [options, record] {
                options->measured = record->count() > 0;
                return budget(*options);
            }};
}

}  // namespace amphora::app
