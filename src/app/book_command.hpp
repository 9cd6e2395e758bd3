// amphora book: one PDF to print and hang up.
#pragma once

#include "app/command.hpp"

namespace amphora::app {

Command book_command(CLI::App& program);

}  // namespace amphora::app
