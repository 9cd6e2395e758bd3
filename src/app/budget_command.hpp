// amphora budget: what a day takes and gives by month.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command budget_command(CLI::App& program);

}  // namespace amphora::app
