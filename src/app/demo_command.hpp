#pragma once

#include "app/command.hpp"

namespace amphora::app {

/// `amphora demo`: the invented van's page, with two years behind it, then live.
Command demo_command(CLI::App& program);

}  // namespace amphora::app
