// One command of the program: a name, a line about it, its options, and what it does.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>

namespace amphora::app {

/// Exit codes as in sysexits.h, by name.
enum class Exit : int {
    ok = 0, usage = 64, data = 65, no_input = 66, unavailable = 69, software = 70, os = 71, cannot_create = 73,
    io = 74, temporary = 75, protocol = 76, permission = 77, config = 78
};

/// Adds the command to the program; the returned function runs it once the command line is parsed.
/// Each command lives in src/app/NAME_command.cpp and is listed in src/app/commands.cpp.
using Run = std::function<Exit()>;

struct Command {
    CLI::App* app = nullptr;
    Run run;
};

}  // namespace amphora::app
