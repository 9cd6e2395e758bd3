#pragma once

#include "app/command.hpp"

namespace amphora::app {

/// `amphora replay --system S.toml LOG.csv`: estimates from a log, as lived and in hindsight.
Command replay_command(CLI::App& program);

}  // namespace amphora::app
