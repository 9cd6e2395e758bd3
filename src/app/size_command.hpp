// amphora size: parts that fit the appliances, the place and the wishes.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command size_command(CLI::App& program);

}  // namespace amphora::app
