#include "app/simulate_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <array>
#include <cmath>
#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/crew.hpp"
#include "app/description.hpp"
#include "app/plan_file.hpp"
#include "core/design/energy.hpp"
#include "core/design/simulate.hpp"
#include "core/sun/clearness.hpp"
#include "io/text/calendar.hpp"

namespace amphora::app {
namespace {

using design::Outcome;
using design::SimulationOptions;
using Json = nlohmann::ordered_json;

struct SimulateOptions {
    std::string file;
    SimulationOptions simulation;
    unsigned threads = 0;
    bool json = false;
    bool what_if = true;
};

struct WhatIf {
    std::string change;
    Outcome outcome;
};

std::vector<WhatIf> variations(const design::Plan& plan, SimulationOptions options, const design::Runner& runner) {
    options.draws = std::min(options.draws, 1024);
    std::vector<WhatIf> all;
    for (const auto& c : plan.chargers) {
        if (c.kind != design::ChargerKind::solar || c.panels.peak <= Watt(0.0)) continue;
        const double panels = std::max(1, c.panels.series * c.panels.strings);
        all.push_back(
            {"one more panel", design::simulate(design::with_panels(plan, (panels + 1.0) / panels), options, runner)});
        break;
    }
    all.push_back({"half the battery", design::simulate(design::with_bank(plan, 0.5), options, runner)});
    all.push_back({"half as much battery again", design::simulate(design::with_bank(plan, 1.5), options, runner)});
    return all;
}

double hours_without(const Outcome& o) {
    double sum = 0.0;
    for (const auto& m : o.months) sum += m.hours_without.value();
    return sum;
}

/// What the days were drawn from.
std::string weather_words(const design::Plan& plan) {
    const sun::Climate& c = plan.climate;
    if (!c.given) return "No place is described, so the sun gives nothing here: add [place] or [climate].\n";
    const std::string trust =
        fmt::format("a month's sun is known to about {:.0f} %, which is not in the figures above.", c.trust * 100.0);
    if (c.days[0].empty()) return fmt::format("Sun: {}; {}\n", c.source, trust);
    return fmt::format(
        "Weather: the days of {}, in runs of {:.0f} on average within their month, sun and warmth together (of the "
        "sun of one day and the next the correlation is {:.2f} there, {:.2f} in general); {}\n",
        c.source, static_cast<double>(design::Chances{}.run_days), sun::day_to_day(c), sun::usual_day_to_day, trust);
}

void print_text(const design::Plan& plan, const Outcome& o, const std::vector<WhatIf>& others) {
    fmt::print("{}: {} simulated years\n\n", plan.name, o.years_simulated);
    const auto autonomy = design::budget_of(plan).days_of_battery;
    fmt::print("  {:<6}{:>16}{:>15}{:>12}{:>12}{:>10}  {}\n", "", "runs dry", "hours without", "missing Wh",
               "unused Wh", "autonomy", "lowest charge of the month, 5 / 50 / 95 %");
    for (std::size_t m = 0; m < 12; ++m) {
        const auto& r = o.months.at(m);
        fmt::print(
            "  {:<6}{:>10.1f} ± {:>2.1f} %{:>14.1f}{:>12.0f}{:>12.0f}{:>8.1f} d  {:>3.0f} / {:>3.0f} / {:>3.0f} %\n",
            text::month_marks.at(m), r.runs_dry * 100.0, r.runs_dry_sd * 100.0, r.hours_without.value(),
            r.unserved.value(), r.wasted.value(), autonomy.at(m), r.lowest.low * 100.0, r.lowest.middle * 100.0,
            r.lowest.high * 100.0);
    }
    fmt::print("  autonomy: days that a full battery lasts down to its reserve, with no charging at all\n");
    fmt::print("\nIt runs dry at some time in {:.0f} % of the years, {:.0f} hours in the mean year.\n",
               o.any_dry * 100.0, hours_without(o));
    fmt::print(
        "Battery: {:.0f} full cycles a year; worn out in {:.0f} {} (rainflow and calendar; the curves are known to a "
        "factor of two).\n",
        o.wear.full_cycles_a_year, o.wear.years_low,
        o.wear.years_high - o.wear.years_low < 0.5 ? std::string("years or more")
                                                   : fmt::format("to {:.0f} years", o.wear.years_high));
    for (const WhatIf& w : others) {
        fmt::print("With {}: dry at some time in {:.0f} % of the years, {:.0f} hours in the mean year.\n", w.change,
                   w.outcome.any_dry * 100.0, hours_without(w.outcome));
    }
    fmt::print("{}{}", measured_draws(plan), weather_words(plan));
}

/// Null without a place.
Json weather_json(const sun::Climate& c) {
    if (!c.given) return nullptr;
    const bool days = !c.days[0].empty();
    return {{"source", c.source},
            {"drawn_from", days ? "days of the file" : "monthly means"},
            {"day_to_day", days ? sun::day_to_day(c) : sun::usual_day_to_day},
            {"trust", c.trust}};
}

Json as_json(const design::Plan& plan, const Outcome& o, const std::vector<WhatIf>& others) {
    Json list = Json::array();
    const auto autonomy = design::budget_of(plan).days_of_battery;
    for (std::size_t i = 0; i < o.months.size(); ++i) {
        const auto& m = o.months.at(i);
        list.push_back({{"runs_dry", m.runs_dry},
                        {"runs_dry_sd", m.runs_dry_sd},
                        {"hours_without", m.hours_without.value()},
                        {"unserved_wh", m.unserved.value()},
                        {"unused_wh", m.wasted.value()},
                        {"autonomy_days", autonomy.at(i)},
                        {"lowest", {m.lowest.low, m.lowest.middle, m.lowest.high}}});
    }
    Json what_if = Json::array();
    for (const WhatIf& w : others)
        what_if.push_back(
            {{"change", w.change}, {"any_dry", w.outcome.any_dry}, {"hours_without", hours_without(w.outcome)}});
    return {{"years", o.years_simulated},
            {"any_dry", o.any_dry},
            {"months", list},
            {"full_cycles_a_year", o.wear.full_cycles_a_year},
            {"years_to_worn", {o.wear.years_low, o.wear.years_high}},
            {"weather", weather_json(plan.climate)},
            {"what_if", what_if}};
}

Exit simulate(const SimulateOptions& options) {
    const auto plan = open_plan_with_loads(options.file);
    if (!plan) return plan.error();
    const Outcome outcome = design::simulate(*plan, options.simulation, crew(options.threads, true));
    const auto others =
        options.what_if ? variations(*plan, options.simulation, crew(options.threads, false)) : std::vector<WhatIf>{};
    if (options.json) {
        fmt::print("{}\n", as_json(*plan, outcome, others).dump(2));
    } else {
        print_text(*plan, outcome, others);
    }
    return Exit::ok;
}

}  // namespace

Command simulate_command(CLI::App& program) {
    auto& command =
        add_command(program, "simulate", "Simulate years hour by hour: in which month does it run dry?",
                    {"amphora simulate van.toml                    # a thousand years of drawn weather and use",
                     "amphora simulate van.toml --draws 10000 --json",
                     "amphora simulate van.toml --years 5 --seed 7 # five years on end in each draw"});
    auto options = std::make_shared<SimulateOptions>();
    add_description_option(command, options->file)->required();
    command.add_option("--draws", options->simulation.draws, "how many draws of weather and use")
        ->check(CLI::Range(1, 1'000'000).description(""))
        ->capture_default_str()
        ->type_name("N");
    command.add_option("--years", options->simulation.years, "years on end in each draw")
        ->check(CLI::Range(1, 50).description(""))
        ->capture_default_str()
        ->type_name("N");
    command.add_option("--seed", options->simulation.seed, "the same seed gives the same result")
        ->capture_default_str()
        ->type_name("N");
    command.add_option("--threads", options->threads, "0: all the cores there are")
        ->check(CLI::Range(0U, 256U).description(""))
        ->capture_default_str()
        ->type_name("N");
    command.add_flag_callback(
        "--plain", [options] { options->what_if = false; },
        "leave out what one more panel or another battery would change");
    command.add_flag("--json", options->json, "result as JSON on stdout");
    return {&command, [options] { return simulate(*options); }};
}

}  // namespace amphora::app
