// amphora backup: a copy of the record while it is being recorded.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command backup_command(CLI::App& program);

}  // namespace amphora::app
