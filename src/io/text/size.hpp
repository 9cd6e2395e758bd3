// Sizes of files for people.
#pragma once

#include <cstdint>
#include <string>

namespace amphora::text {

/// "812 bytes", "36 kB", "2.3 MB", "1.4 GB": decimal units (IEC 80000-13), two digits or more.
[[nodiscard]] std::string size_of(std::uint64_t bytes);

}  // namespace amphora::text
