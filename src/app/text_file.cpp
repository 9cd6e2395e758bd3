#include "app/text_file.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <iterator>

namespace amphora::app {

std::string whole_text(const std::string& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

std::expected<void, std::string> replace_text(const std::string& file, const std::string& text) {
    const std::string part = file + ".new";
    {
        std::ofstream out(part, std::ios::binary);
        out << text;
        if (!out.flush()) return std::unexpected(fmt::format("{}: cannot be written", part));
    }
    std::error_code error;
    std::filesystem::rename(part, file, error);
    if (error) return std::unexpected(fmt::format("{}: cannot be replaced: {}", file, error.message()));
    return {};
}

}  // namespace amphora::app
