#include "io/describe/mistake.hpp"

#include <fmt/format.h>

namespace amphora::describe {

std::string to_text(const Mistake& mistake, std::string_view file) {
    const auto place =
        mistake.line == 0 ? std::string(file) : fmt::format("{}:{}:{}", file, mistake.line, mistake.column);
    return mistake.path.empty() ? fmt::format("{}: {}", place, mistake.message)
                                : fmt::format("{}: {}: {}", place, mistake.path, mistake.message);
}

}  // namespace amphora::describe
