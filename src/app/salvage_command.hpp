// amphora salvage: what can still be read from a damaged record.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command salvage_command(CLI::App& program);

}  // namespace amphora::app
