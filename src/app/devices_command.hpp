// amphora devices: which devices may see the page, and the passphrase.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command devices_command(CLI::App& program);

}  // namespace amphora::app
