// amphora record: measures until it is told to stop.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command record_command(CLI::App& program);

}  // namespace amphora::app
