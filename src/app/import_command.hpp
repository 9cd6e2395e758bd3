// amphora import: takes logs into the record.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command import_command(CLI::App& program);

}  // namespace amphora::app
