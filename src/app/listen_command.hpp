// amphora listen: what sources say, live.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command listen_command(CLI::App& program);

}  // namespace amphora::app
