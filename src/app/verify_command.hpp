// amphora verify: whether the record is whole.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command verify_command(CLI::App& program);

}  // namespace amphora::app
