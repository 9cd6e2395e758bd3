#include "app/terminal.hpp"

#include <unistd.h>

#include <cstdlib>
#include <string_view>

namespace amphora::app {

bool is_watched(std::FILE* stream) { return isatty(fileno(stream)) == 1; }

bool may_colour(std::FILE* stream) {
    const auto* refused = std::getenv("NO_COLOR");  // NOLINT(concurrency-mt-unsafe): read before any thread starts
    const auto* terminal = std::getenv("TERM");     // NOLINT(concurrency-mt-unsafe)
    const bool dumb = terminal == nullptr || std::string_view(terminal) == "dumb";
    return is_watched(stream) && !dumb && (refused == nullptr || *refused == '\0');
}

}  // namespace amphora::app
