// What a description says, in a person's words.
#pragma once

#include <string>

#include "io/describe/describe.hpp"

namespace amphora::app {

/// Headings are bold if `bold`; ends in a line break.
[[nodiscard]] std::string understanding(const describe::Described& described, bool bold);

}  // namespace amphora::app
