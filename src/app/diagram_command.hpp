// amphora diagram: the wiring diagram.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command diagram_command(CLI::App& program);

}  // namespace amphora::app
