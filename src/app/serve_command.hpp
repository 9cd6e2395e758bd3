// amphora serve: recorder and page for a person, as two processes.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command serve_command(CLI::App& program);

}  // namespace amphora::app
