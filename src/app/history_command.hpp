// amphora history: what each day, week or month brought and took.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command history_command(CLI::App& program);

}  // namespace amphora::app
