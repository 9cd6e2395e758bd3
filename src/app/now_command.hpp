// amphora now: what the recorder knows at this moment.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command now_command(CLI::App& program);

}  // namespace amphora::app
