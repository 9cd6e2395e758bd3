#include "app/size_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/circuit_text.hpp"
#include "app/description.hpp"
#include "app/plan_file.hpp"
#include "app/text_file.hpp"
#include "core/design/load.hpp"
#include "core/design/plan_of.hpp"
#include "core/design/rules.hpp"
#include "core/design/sizing.hpp"
#include "core/design/words.hpp"

namespace amphora::app {
namespace {

using design::Circuit;
using design::Plan;
using design::Proposal;
using design::words;
using Json = nlohmann::ordered_json;

struct SizeOptions {
    std::string file;
    bool write = false;
    bool json = false;
};

double panel_watts(const Plan& plan) {
    double sum = 0.0;
    for (const auto& c : plan.chargers) {
        if (c.kind == design::ChargerKind::solar) sum += c.panels.peak.value();
    }
    return sum;
}

std::string charger_words(const Plan& plan, design::ChargerKind kind) {
    Ampere sum{};
    for (const auto& c : plan.chargers) {
        if (c.kind == kind) sum += c.current;
    }
    return sum > Ampere(0.0) ? words(sum) : "none";
}

std::string inverter_words(const Plan& plan) {
    return plan.inverters.empty() ? "none" : words(plan.inverters.front().power);
}

std::string shunt_words(const Plan& plan) {
    const auto used = std::ranges::find_if(plan.shunts, &design::Shunt::in_use);
    if (used == plan.shunts.end() || !used->rating.known()) return "none";
    return fmt::format("{} / {}", words(used->rating), design::millivolts(used->rated_drop));
}

void print_proposals(const std::vector<Proposal>& all) {
    fmt::print("  {:<22}", "");
    for (const Proposal& p : all) fmt::print("{:>18}", p.name);
    const auto row = [&](const char* what, auto value) {
        fmt::print("\n  {:<22}", what);
        for (const Proposal& p : all) fmt::print("{:>18}", value(p));
    };
    row("battery", [](const Proposal& p) { return words(p.plan.bank.battery.design_capacity); });
    row("panels", [](const Proposal& p) {
        const double watts = panel_watts(p.plan);
        return watts > 0.0 ? words(Watt(watts)) : std::string("none");
    });
    for (const auto& [kind, what] : {std::pair{design::ChargerKind::solar, "solar charger"},
                                     std::pair{design::ChargerKind::alternator, "from the alternator"},
                                     std::pair{design::ChargerKind::shore, "shore charger"}}) {
        row(what, [kind](const Proposal& p) { return charger_words(p.plan, kind); });
    }
    row("inverter", [](const Proposal& p) { return inverter_words(p.plan); });
    row("shunt", [](const Proposal& p) { return shunt_words(p.plan); });
    row("dry at some time", [](const Proposal& p) {
        return p.plan.climate.given || panel_watts(p.plan) <= 0.0 ? design::percent(p.outcome.any_dry) + " of years"
                                                                  : std::string("unknown");
    });
    const bool priced = std::ranges::any_of(all, [](const Proposal& p) { return p.price.known(); });
    if (priced) {
        row("price of what has one", [](const Proposal& p) {
            return p.price.known() ? fmt::format("{:.0f} {}", p.price.value(), p.plan.currency) : std::string("-");
        });
    }
    fmt::print("\n\n");
    for (const Proposal& p : all) fmt::print("  {}: {}.\n", p.name, p.gives_up);
    if (!priced && all.front().plan.wishes.budget.known())
        fmt::print(
            "  The budget of {:.0f} {} was not weighed: nothing described has a price. Give battery, panels or others "
            "`price`.\n",
            all.front().plan.wishes.budget.value(), all.front().plan.currency);
}

/// The thickest cable does not carry its fuse: nothing to be bought mends that.
bool is_beyond_one_cable(const Circuit& c) {
    return c.run && c.protection && c.protection->rating > ampacity(c.run->size, c.run->laying).corrected();
}

void print_circuits(const Plan& plan) {
    fmt::print(
        "\nCables and fuses of \"as wished\" (a length that is not described counts {}):\n  "
        "{:<22}{:<16}{:>10}{:>9}{:>11}  {}\n",
        words(design::assumed_length), "circuit", "from", "load", "one way", "cable", "fuse");
    for (const Circuit& c : plan.circuits) {
        const Ampere load = load_of(plan, c, design::Reckoning::installed).greatest();
        fmt::print("  {:<22}{:<16}{:>10}{:>9}{:>11}  {} {}\n", c.name, c.from, words(load),
                   c.run ? words(c.run->one_way) : "-", c.run ? design::name(c.run->size) : "-",
                   c.protection ? words(c.protection->rating) : "-",
                   c.protection ? design::data(c.protection->kind).words : "");
    }
    for (const Circuit& c : plan.circuits) {
        if (!is_beyond_one_cable(c)) continue;
        fmt::print(
            "  {}: {} carries {} there, less than its fuse of {}, which the load needs: build it with several cables "
            "and "
            "fuses in parallel, or for a higher voltage.\n",
            c.name, design::name(c.run->size), words(ampacity(c.run->size, c.run->laying).corrected()),
            words(c.protection->rating));
    }
}

/// Does something still hang on no circuit, or a circuit lack its fuse?
bool ties_missing(const Plan& plan) {
    const Plan whole = design::with_wiring(plan);
    return whole.circuits.size() != plan.circuits.size() ||
           std::ranges::any_of(plan.circuits, [](const Circuit& c) { return !c.run || !c.protection; });
}

/// The circuits that `before` lacks, or has without cable or fuse.
std::string names_of_new(const Plan& before, const Plan& after) {
    std::string names;
    for (const Circuit& c : after.circuits) {
        const auto described = std::ranges::find(before.circuits, c.name, &Circuit::name);
        if (described != before.circuits.end() && described->run && described->protection) continue;
        names += (names.empty() ? "" : ", ") + c.name;
    }
    return names.empty() ? "what hangs on which circuit" : names;
}

Exit write(const std::string& file, const Plan& before) {
    std::ifstream in(file, std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    if (before.appliances.empty() && before.inverters.empty() && before.chargers.empty()) {
        fmt::print(
            stderr,
            "{}: describe at least one [[appliance]], [[charger]] or [[inverter]]: without it there is nothing to "
            "wire\n",
            file);
        return Exit::config;
    }
    const Plan after = design::with_wiring(before);
    const std::string longer = with_circuits(text, before, after);
    if (longer == text) {
        fmt::print(stderr, "{}: every circuit is described already; nothing was written.\n", file);
        return Exit::ok;
    }
    // What was written must read back as meant: sound, and with nothing left to write.
    const auto sound = describe::describe_text(longer);
    if (!sound || ties_missing(design::plan_of(sound->system))) {
        fmt::print(stderr,
                   "{}: the circuits cannot be written into this file without breaking it; nothing was written. Give "
                   "every table a name of its own on a line of its own.\n",
                   file);
        return Exit::config;
    }
    if (const auto written = replace_text(file, longer); !written) {
        fmt::print(stderr, "{}\n", written.error());
        return Exit::cannot_create;
    }
    fmt::print("{}: written: {}\n", file, names_of_new(before, after));
    fmt::print(
        "Only what the file describes gets a circuit. Of the proposed parts, add those that you take ([[charger]] "
        "with its panels, [[inverter]], [[shunt]]) and run this again.\n");
    return Exit::ok;
}

Json chargers_json(const Plan& plan) {
    Json list = Json::array();
    for (const auto& c : plan.chargers) list.push_back({{"name", c.name}, {"current_a", c.current.value()}});
    return list;
}

Json as_json(const std::vector<Proposal>& all) {
    Json list = Json::array();
    for (const Proposal& p : all) {
        Json circuits = Json::array();
        for (const Circuit& c : p.plan.circuits) {
            Json one{{"name", c.name}, {"from", c.from}};
            if (c.run) one.update(Json{{"cable", design::name(c.run->size)}, {"length_m", c.run->one_way.value()}});
            if (c.protection)
                one.update(Json{{"fuse_kind", design::data(c.protection->kind).name},
                                {"fuse_a", c.protection->rating.value()}});
            circuits.push_back(std::move(one));
        }
        list.push_back({{"name", p.name},
                        {"battery_ah", p.plan.bank.battery.design_capacity.value()},
                        {"panels_w", panel_watts(p.plan)},
                        {"chargers", chargers_json(p.plan)},
                        {"inverter_w", p.plan.inverters.empty() ? 0.0 : p.plan.inverters.front().power.value()},
                        {"shunt", shunt_words(p.plan)},
                        {"price", p.price.known() ? Json(p.price.value()) : Json(nullptr)},
                        {"any_dry", p.outcome.any_dry},
                        {"gives_up", p.gives_up},
                        {"circuits", circuits}});
    }
    return list;
}

Exit size(const SizeOptions& options) {
    const auto plan = options.write ? open_plan(options.file) : open_plan_with_loads(options.file);
    if (!plan) return plan.error();
    if (options.write) return write(options.file, *plan);
    const auto proposals = design::propose(*plan);
    if (options.json) {
        fmt::print("{}\n", as_json(proposals).dump(2, ' ', false, Json::error_handler_t::replace));
        return Exit::ok;
    }
    fmt::print("{}: parts for {} appliances, {} days without sun\n\n", plan->name, plan->appliances.size(),
               design::digits(plan->wishes.days_without_sun));
    print_proposals(proposals);
    if (const std::string draws = measured_draws(*plan); !draws.empty()) fmt::print("  {}", draws);
    print_circuits(proposals.front().plan);
    if (!plan->climate.given)
        fmt::print("\nNo place is described, so no panels are proposed: add [place] or [climate].\n");
    fmt::print("\nKeep in mind\n{}", cautions(proposals.front().plan));
    return Exit::ok;
}

}  // namespace

Command size_command(CLI::App& program) {
    auto& command =
        add_command(program, "size", "Propose battery, panels, inverter, shunt, cables and fuses for the appliances",
                    {"amphora size van.toml            # three ways to build it, and what each gives up",
                     "amphora size van.toml --write    # put cables and fuses that are missing into the description",
                     "amphora size van.toml --json"});
    auto options = std::make_shared<SizeOptions>();
    add_description_option(command, options->file)->required();
    command.add_flag("--write", options->write, "write missing circuits into the description; comments and order stay");
    command.add_flag("--json", options->json, "result as JSON on stdout");
    return {&command, [options] { return size(*options); }};
}

}  // namespace amphora::app
