#include "app/program.hpp"

#include <fmt/core.h>
#include <CLI/CLI.hpp>

#include <algorithm>
#include <cstdio>
#include <exception>
#include <string>
#include <string_view>
#include <system_error>
#include <vector>

#include "app/command.hpp"
#include "app/help.hpp"
#include "app/usage_words.hpp"
#include "io/text/nearest.hpp"

namespace amphora::app {
namespace {

std::string suggestion(std::string_view word, const std::vector<std::string>& known) {
    const std::vector<std::string_view> views(known.begin(), known.end());
    const auto near = text::nearest(word, views);
    return near ? fmt::format("; did you mean \"{}\"?", *near) : "";
}

std::vector<std::string> command_names(const CLI::App& program) {
    std::vector<std::string> names;
    for (const auto* command : program.get_subcommands([](const CLI::App*) { return true; }))
        names.push_back(command->get_name());
    return names;
}

std::vector<std::string> option_names(const CLI::App& command) {
    std::vector<std::string> names;
    for (const auto* option : command.get_options())
        for (const auto& name : option->get_lnames()) names.push_back("--" + name);
    return names;
}

// The command that the person named, or the program itself; and how it is called.
const CLI::App& named_command(const CLI::App& program) {
    const auto parsed = program.get_subcommands();
    return parsed.empty() ? program : *parsed.front();
}

std::string called(const CLI::App& command) {
    return command.get_parent() == nullptr ? command.get_name()
                                           : command.get_parent()->get_name() + " " + command.get_name();
}

/// What CLI11 says of an error, but for the description that is missing: its option has two names, and either does.
std::string said(const CLI::App& command, const CLI::ParseError& error) {
    const std::string_view what = error.what();
    if (!what.starts_with("--system is required")) return usage_words(what);
    return fmt::format("a description is required, as in `{} {}system.toml`", called(command),
                       command.get_option("--system")->get_positional() ? "" : "--system ");
}

std::string explain(const CLI::App& program, const CLI::ParseError& error) {
    const auto& command = named_command(program);
    const auto extra = program.remaining(true);
    const bool unexpected = dynamic_cast<const CLI::ExtrasError*>(&error) != nullptr ||
                            dynamic_cast<const CLI::RequiredError*>(&error) != nullptr;  // raised first where both hold
    if (!unexpected || extra.empty()) return said(command, error);
    const auto word = extra.front().substr(0, extra.front().find('='));
    if (word.starts_with("-"))
        return fmt::format("there is no option \"{}\"{}", word, suggestion(word, option_names(command)));
    const bool one_missing = dynamic_cast<const CLI::RequiredError*>(&error) != nullptr;
    return fmt::format("\"{}\" is one argument too many{}", word,
                       one_missing ? fmt::format(", and {}", said(command, error)) : "");
}

Exit complain(const CLI::App& command, std::string_view what) {
    fmt::print(stderr, "{}: {}\n`{} --help` shows how it is used.\n", called(command), what, called(command));
    return Exit::usage;
}

// `amphora help check` is what many try first: it means `amphora check --help`.
std::vector<std::string> words(int argc, const char* const* argv) {
    std::vector<std::string> args(argv + std::min(argc, 1), argv + argc);
    if (args.empty()) return {"--help"};
    if (args.front() == "help") {
        args.erase(args.begin());
        args.emplace_back("--help");
    }
    return args;
}

Exit parse_and_run(int argc, const char* const* argv) {
    CLI::App program("How much is left in an off-grid battery, how sure that is, and how long it lasts.", "amphora");
    program.formatter(std::make_shared<ExamplesFirst>());
    program.set_help_flag("-h,--help", "Show this help");
    program.set_version_flag("--version", "amphora " AMPHORA_VERSION, "Show the version");
    program.require_subcommand(1);
    const auto commands = add_commands(program);
    program.footer(first_examples(commands));

    auto args = words(argc, argv);
    const auto names = command_names(program);
    if (!args.front().starts_with("-") && !std::ranges::count(names, args.front()))
        return complain(program,
                        fmt::format("there is no command \"{}\"{}", args.front(), suggestion(args.front(), names)));
    std::ranges::reverse(args);  // as CLI11 wants a list of words
    try {
        program.parse(args);
    } catch (const CLI::Success& help_or_version) {
        program.exit(help_or_version);
        return Exit::ok;
    } catch (const CLI::ParseError& error) {
        return complain(named_command(program), explain(program, error));
    }
    const auto chosen = std::ranges::find_if(commands, [](const Command& c) { return c.options->parsed(); });
    return chosen->run();
}

}  // namespace

Exit run_program(int argc, const char* const* argv) {
    try {
        const auto exit = parse_and_run(argc, argv);
        if (std::fflush(stdout) != 0 && exit == Exit::ok) {
            fmt::print(stderr, "amphora: the result could not be written to stdout\n");
            return Exit::io;
        }
        return exit;
    } catch (const std::system_error& error) {  // what fmt throws when stdout is closed or full
        fmt::print(stderr, "amphora: {}\n", error.what());
        return Exit::io;
    } catch (const std::exception& error) {
        fmt::print(stderr, "amphora: {} (a fault of the program: please report it)\n", error.what());
        return Exit::software;
    }
}

}  // namespace amphora::app
