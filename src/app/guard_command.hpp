// amphora guard: the rules that protect the battery, shown and tried.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command guard_command(CLI::App& program);

}  // namespace amphora::app
