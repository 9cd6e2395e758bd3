// The list of commands, in the order in which --help shows them.
#include <ranges>

#include "app/book_command.hpp"
#include "app/budget_command.hpp"
#include "app/check_command.hpp"
#include "app/command.hpp"
#include "app/diagram_command.hpp"
#include "app/replay_command.hpp"
#include "app/simulate_command.hpp"
#include "app/size_command.hpp"

namespace amphora::app {

std::vector<Command> add_commands(CLI::App& program) {
    std::vector<Command> commands;
    for (const auto add :
         {check_command, replay_command, size_command, budget_command, simulate_command, diagram_command, book_command})
        commands.push_back(add(program));
    return commands;
}

CLI::App& add_command(CLI::App& program, const std::string& name, const std::string& about,
                      const std::vector<std::string>& examples) {
    auto& command = *program.add_subcommand(name, about);
    std::string lines;
    for (const auto& example : examples) lines += "  " + example + "\n";
    command.group("Commands")->footer(lines);
    return command;
}

std::string first_examples(const std::vector<Command>& commands) {
    std::string lines;
    for (const auto& command : commands | std::views::take(3)) {
        const auto examples = command.options->get_footer();
        lines += examples.substr(0, examples.find('\n') + 1);
    }
    return lines;
}

}  // namespace amphora::app
