// amphora rederive: makes all that is derived from the readings again.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command rederive_command(CLI::App& program);

}  // namespace amphora::app
