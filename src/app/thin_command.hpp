// amphora thin: keep fewer of the old readings.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

[[nodiscard]] Command thin_command(CLI::App& program);

}  // namespace amphora::app
