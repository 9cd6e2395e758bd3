// amphora sources: what readings could come from.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command sources_command(CLI::App& program);

}  // namespace amphora::app
