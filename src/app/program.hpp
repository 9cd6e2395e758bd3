// The program as a whole: reads the command line, runs the one command that it names, answers with an exit code.
#pragma once

#include "app/exit.hpp"

namespace amphora::app {

/// Runs the program. Mistakes in the command line are explained on stderr, with the nearest known word.
Exit run_program(int argc, const char* const* argv);

}  // namespace amphora::app
