// What a replay found, for machines. The keys are described in docs/reference/json-replay.md and stay as they are.
#pragma once

#include <string>

#include "app/replay.hpp"

namespace amphora::app {

/// A JSON object, indented. What is not known or infinite is null; fractions are of 1, times are unix seconds.
std::string replay_json(const ReplayResult& result, const System& system);

}  // namespace amphora::app
