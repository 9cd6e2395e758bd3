// One command of the program: a name, a line about it, examples, options, and what it does.
//
// A command lives in src/app/NAME_command.cpp, which defines one function
//     Command NAME_command(CLI::App& program);
// and commands.cpp lists it. Results go to stdout, all else to stderr.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "app/exit.hpp"

namespace CLI {
class App;  // its header costs seconds of building per file, so that only commands include it
}

namespace amphora::app {

struct Command {
    CLI::App* options = nullptr;
    std::function<Exit()> run;  // called once the command line is parsed, if this command was the one
};

/// Adds an empty command to the program. `about` is one line without a full stop; `examples` are whole command lines,
/// each with a `# word of explanation` where it needs one: --help shows them before the options.
CLI::App& add_command(CLI::App& program, const std::string& name, const std::string& about,
                      const std::vector<std::string>& examples);

/// The first example of each of the first three commands, as lines for the program's own --help.
std::string first_examples(const std::vector<Command>& commands);

/// Every command, added to the program, in the order in which --help lists them (commands.cpp).
std::vector<Command> add_commands(CLI::App& program);

}  // namespace amphora::app
