// amphora draw: what one appliance draws, measured.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command draw_command(CLI::App& program);

}  // namespace amphora::app
