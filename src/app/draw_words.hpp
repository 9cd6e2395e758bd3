// A draw test in words.
#pragma once

#include <string>

#include "core/appliance/draw_test.hpp"

namespace amphora::app {

/// What the person has to do for a step.
[[nodiscard]] std::string todo_words(DrawStep step, const std::string& name);

/// What came of it, several lines.
[[nodiscard]] std::string result_words(const DrawResult& result, const std::string& name, bool behind_inverter);

}  // namespace amphora::app
