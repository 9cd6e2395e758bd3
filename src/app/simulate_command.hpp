// amphora simulate: years of a plan, hour by hour, with drawn weather and use.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command simulate_command(CLI::App& program);

}  // namespace amphora::app
