#include "io/text/size.hpp"

#include <fmt/core.h>

namespace amphora::text {

std::string size_of(std::uint64_t bytes) {
    if (bytes < 1000) return fmt::format("{} byte{}", bytes, bytes == 1 ? "" : "s");
    double size = static_cast<double>(bytes) / 1e3;
    const char* unit = "kB";
    if (size >= 999.5) {
        size /= 1e3;
        unit = "MB";
    }
    if (size >= 999.5) {
        size /= 1e3;
        unit = "GB";
    }
    return size < 9.95 ? fmt::format("{:.1f} {}", size, unit) : fmt::format("{:.0f} {}", size, unit);
}

}  // namespace amphora::text
