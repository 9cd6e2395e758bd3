#include "app/text_file.hpp"

#include <fstream>
#include <iterator>

#include "io/sink/output_file.hpp"

namespace amphora::app {

std::string whole_text(const std::string& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

std::expected<void, std::string> replace_text(const std::string& file, const std::string& text) {
    if (const auto written = sink::replace_file(file, text); !written) return std::unexpected(written.error().message);
    return {};
}

}  // namespace amphora::app
