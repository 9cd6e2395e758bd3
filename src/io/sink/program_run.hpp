// Runs a program with arguments: no shell, nothing inherited but what is given, and not for longer than allowed.
#pragma once

#include <chrono>
#include <string>
#include <utility>
#include <vector>

#include "io/sink/errands.hpp"

namespace amphora::sink {

struct ProgramRun {
    std::vector<std::string> words;                                   // the program's whole path, then its arguments
    std::vector<std::pair<std::string, std::string>> surroundings{};  // further environment variables
    std::chrono::milliseconds limit{10'000};
};

/// Runs it to its end. It reads nothing, what it prints is lost, its environment is PATH and what is given. After
/// `limit`, or when a stop is requested, it is ended with all that it started in its own process group. An exit code
/// other than 0 is a failure; none is worth another try.
[[nodiscard]] std::expected<void, ErrandFailure> run(const ProgramRun& what, const std::stop_token& stop);

}  // namespace amphora::sink
