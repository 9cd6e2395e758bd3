// A draw test in words.
#pragma once

#include <string>

#include "core/appliance/draw_test.hpp"
#include "core/system/equipment.hpp"

namespace amphora::text {

/// What the person has to do for a step; the description says what else there is to be switched off.
[[nodiscard]] std::string todo_words(DrawStep step, const std::string& name, const Equipment& equipment);

/// What came of it, several lines.
[[nodiscard]] std::string result_words(const DrawResult& result, const std::string& name, bool behind_inverter);

}  // namespace amphora::text
