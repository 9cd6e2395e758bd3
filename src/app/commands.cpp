#include <CLI/CLI.hpp>

// The list of commands, in the order in which --help shows them.
#include <ranges>

#include "app/backup_command.hpp"
#include "app/book_command.hpp"
#include "app/budget_command.hpp"
#include "app/check_command.hpp"
#include "app/command.hpp"
#include "app/commission_command.hpp"
#include "app/compact_command.hpp"
#include "app/demo_command.hpp"
#include "app/devices_command.hpp"
#include "app/diagram_command.hpp"
#include "app/draw_command.hpp"
#include "app/export_command.hpp"
#include "app/guard_command.hpp"
#include "app/history_command.hpp"
#include "app/import_command.hpp"
#include "app/listen_command.hpp"
#include "app/now_command.hpp"
#include "app/page_command.hpp"
#include "app/record_command.hpp"
#include "app/rederive_command.hpp"
#include "app/replay_command.hpp"
#include "app/salvage_command.hpp"
#include "app/serve_command.hpp"
#include "app/simulate_command.hpp"
#include "app/size_command.hpp"
#include "app/sources_command.hpp"
#include "app/thin_command.hpp"
#include "app/verify_command.hpp"

namespace amphora::app {

std::vector<Command> add_commands(CLI::App& program) {
    std::vector<Command> commands;
    for (const auto add :
         {demo_command,       check_command,   replay_command,  size_command,   budget_command,   simulate_command,
          diagram_command,    book_command,    import_command,  export_command, history_command,  backup_command,
          verify_command,     salvage_command, compact_command, thin_command,   rederive_command, serve_command,
          record_command,     page_command,    devices_command, now_command,    sources_command,  listen_command,
          commission_command, draw_command,    guard_command})
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
