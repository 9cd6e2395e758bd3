// amphora commission: is the meter put in right?
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command commission_command(CLI::App& program);

}  // namespace amphora::app
