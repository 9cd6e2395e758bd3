// amphora compact: joins small blocks and gives unused space back.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command compact_command(CLI::App& program);

}  // namespace amphora::app
