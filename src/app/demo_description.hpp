// The description that comes with the demonstration: examples/blue-heron.toml, held in the program.
#pragma once

#include <string_view>

namespace amphora::app {

/// The text of the file; defined in a file that the build makes (CMakeLists.txt).
[[nodiscard]] std::string_view demo_description();

}  // namespace amphora::app
