#include "app/guard_command.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <algorithm>
#include <memory>

#include "app/description.hpp"
#include "app/guard_remote.hpp"
#include "app/guard_trial.hpp"
#include "app/text_file.hpp"
#include "core/guard/ready_made.hpp"
#include "io/describe/table_text.hpp"
#include "io/text/guard_words.hpp"

namespace amphora::app {
namespace {

struct GuardOptions {
    std::string action;
    bool write = false;
    std::string socket;
    GuardTrial trial;
};

constexpr std::string_view keep_in_mind = R"(
Keep in mind
  A guard is no fuse: it reacts in tens of milliseconds at best and does not break a short circuit. The main fuse stays.
  The battery management system is the last line; set these to act before it.
  Wire each relay so that it falls into the safe state without power: a program can hang, a computer can lose its supply.
  Lead-acid batteries give off hydrogen when charged: no relay that sparks in their box, and vent it.
  The makers' limits and the local code win where they differ.
)";

const described::Relay* relay_of(const described::Guard& g, const Protection& p) {
    const auto at = std::ranges::find(p.relays, g.relay, &described::Relay::name);
    return at == p.relays.end() ? nullptr : &*at;
}

void print_guard(const described::Guard& g, const Protection& p) {
    const auto* relay = relay_of(g, p);
    fmt::print("  {}\n      {}\n      {}\n", g.name, text::rule_words(g),
               text::action_words(g, relay == nullptr || relay->normally_on));
}

/// What is not there yet: guards and relays whose names the description does not have.
System missing_of(const System& system, const guard::ReadyMadeSet& set) {
    System missing = system;
    missing.protection = {};
    const auto& have = system.protection;
    for (const auto& relay : set.relays)
        if (std::ranges::find(have.relays, relay.name, &described::Relay::name) == have.relays.end())
            missing.protection.relays.push_back(relay);
    for (const auto& [guard, why] : set.guards)
        if (std::ranges::find(have.guards, guard.name, &described::Guard::name) == have.guards.end())
            missing.protection.guards.push_back(guard);
    return missing;
}

std::string text_of(const System& missing, const guard::ReadyMadeSet& set) {
    std::string out;
    for (std::size_t i = 0; i < missing.protection.relays.size(); ++i)
        out += fmt::format("\n# A rehearsal: it switches nothing. Say how the relay is reached.\n{}",
                           describe::table_text(missing, "relay", i));
    for (std::size_t i = 0; i < missing.protection.guards.size(); ++i) {
        const auto& name = missing.protection.guards[i].name;
        const auto why = std::ranges::find(set.guards, name, [](const auto& r) { return r.guard.name; })->why;
        out += fmt::format("\n# {}\n{}", why, describe::table_text(missing, "guard", i));
    }
    return out;
}

Exit write(const std::string& file, const std::string& added) {
    std::string text = whole_text(file);
    if (!text.ends_with('\n')) text += '\n';
    text +=
        "\n# Proposed by `amphora guard show --write`: read them, change them, then try them with `amphora guard "
        "test`.\n" +
        added;
    if (const auto sound = describe::describe_text(text); !sound) {
        fmt::print(stderr, "{}: the ready-made guards do not go with what is there; nothing was written:\n", file);
        print_mistakes(sound.error(), file);
        return Exit::config;
    }
    if (const auto done = replace_text(file, text); !done) {
        fmt::print(stderr, "{}\n", done.error());
        return Exit::cannot_create;
    }
    fmt::print("{}: guards written\n", file);
    return Exit::ok;
}

Exit show(const GuardOptions& options) {
    const auto& file = options.trial.system;
    const auto described = open_description(file);
    if (!described) return described.error();
    const System& system = described->system;
    const auto& p = system.protection;
    const auto set = guard::ready_made(system);
    const System missing = missing_of(system, set);
    const std::string proposal = text_of(missing, set);
    if (options.write) {
        if (!proposal.empty()) return write(file, proposal);
        fmt::print("{}: every ready-made guard is there already; nothing was written\n", file);
        return Exit::ok;
    }
    fmt::print("{}: {} guards, {} relays, {} notices\n", system.name, p.guards.size(), p.relays.size(),
               p.notices.size());
    for (const auto& g : p.guards) print_guard(g, p);
    for (const auto& r : p.relays) fmt::print("  relay {}\n      {}\n", r.name, text::relay_words(r));
    if (!proposal.empty())
        fmt::print("\nReady-made for this battery and not there yet; --write puts them into the description:\n{}",
                   proposal);
    fmt::print("{}", keep_in_mind);
    return Exit::ok;
}

Exit run(const GuardOptions& options) {
    const auto& trial = options.trial;
    if (options.action == "test") return try_guards(trial);
    if (options.action == "now") return print_guards_now({trial.system, options.socket}, trial.json);
    if (options.action == "clear") return clear_guard({trial.system, options.socket}, trial.log);
    return show(options);
}

std::string scene_list() {
    std::string list;
    for (const auto& scene : guard_scenes()) list += fmt::format("\n{}: {}", scene.name, scene.about);
    return list;
}

}  // namespace

Command guard_command(CLI::App& program) {
    auto& command = add_command(
        program, "guard",
        "Show the rules that protect the battery, or try them on a log, the record or an invented week",
        {"amphora guard show --system van.toml                     # yours, and ready-made ones for the battery",
         "amphora guard show --system van.toml --write             # put those into the description, to be changed",
         "amphora guard test --system van.toml log.csv             # what would have tripped when, and why",
         "amphora guard test --system van.toml --record --from 2025-01-01",
         "amphora guard test --system van.toml --scene surges --days 3",
         "amphora guard now --system van.toml                      # how they stand; the recorder must run",
         "amphora guard clear \"more than the battery may give\" --system van.toml"});
    auto options = std::make_shared<GuardOptions>();
    auto& trial = options->trial;
    command.add_option("ACTION", options->action, "show, test, now or clear")
        ->required()
        ->type_name("")
        ->check(CLI::IsMember({"show", "test", "now", "clear"}).description(""));
    auto* log = command.add_option(
        "WHAT", trial.log,
        "test: a log as CSV (docs/reference/log-csv.md), - for the standard input; clear: the guard's name");
    log->type_name("");
    command.add_option("--system", trial.system, "the description of the system")->required()->type_name("SYSTEM.toml");
    command.add_flag("--write", options->write, "show: write what is ready-made and missing into the description");
    auto* record = command.add_flag("--record", trial.from_record, "test: the record beside the description");
    command.add_option("--from", trial.from, "test: first day of the record")->type_name("DAY")->needs(record);
    command.add_option("--to", trial.to, "test: last day of the record")->type_name("DAY")->needs(record);
    auto* scene = command.add_option("--scene", trial.scene.scene, "test: an invented week:" + scene_list());
    scene->type_name("NAME");
    command.add_option("--days", trial.scene.days, "test: length of the scene [7]")
        ->check(CLI::Range(0.01, 800.0).description(""))
        ->type_name("DAYS");
    command.add_option("--seed", trial.scene.seed, "test: another van of the same scene [1]")
        ->check(CLI::Range(1, 1'000'000).description(""))
        ->type_name("NUMBER");
    command.add_flag("--json", trial.json, "test, now: result as JSON");
    command.add_option("--socket", options->socket, "now, clear: the recorder's socket, if it lies elsewhere")
        ->type_name("FILE");
    command.final_callback([options, log, record, scene] {
        if (options->action == "clear" && log->count() == 0) throw CLI::RequiredError("the guard's name");
        if (options->action != "test") return;
        if (log->count() + record->count() + scene->count() != 1)
            throw CLI::RequiredError("a log, --record or --scene");
    });
    return {&command, [options] { return run(*options); }};
}

}  // namespace amphora::app
