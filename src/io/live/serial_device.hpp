// Opens serial devices so that bytes come as they are and nothing waits.
#pragma once

#include <expected>
#include <string>

#include "core/system/live.hpp"

namespace amphora::live {

/// A descriptor of the device, raw, non-blocking, closed to others; or a sentence that says why not. The caller closes
/// it. A speed that termios does not know is refused.
[[nodiscard]] std::expected<int, std::string> open_serial(const std::string& device, const described::SerialLine& line);

/// A descriptor of its own for the standard input.
[[nodiscard]] std::expected<int, std::string> duplicate_input();

}  // namespace amphora::live
