// amphora page: the page server, beside a recorder.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command page_command(CLI::App& program);

}  // namespace amphora::app
