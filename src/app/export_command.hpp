// amphora export: readings or rollups of the record as CSV or JSON lines.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command export_command(CLI::App& program);

}  // namespace amphora::app
