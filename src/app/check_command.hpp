#pragma once

#include "app/command.hpp"

namespace amphora::app {

/// `amphora check S.toml`: validates a description and says what it understood.
Command check_command(CLI::App& program);

}  // namespace amphora::app
