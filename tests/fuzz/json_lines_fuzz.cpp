// Any bytes as lines of JSON: no crash, no figure that no meter shows, and the same figures however the bytes arrive.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <nlohmann/json.hpp>
#include <string_view>
#include <vector>

#include "io/source/bad_line.hpp"
#include "io/source/json_figure.hpp"
#include "io/source/line_cutter.hpp"

namespace {

using namespace amphora;

void require(bool holds) {
    if (!holds) std::abort();
}

// The first line is the place to look at in the others.
std::vector<double> read(std::string_view bytes, std::size_t piece) {
    std::vector<double> figures;
    const auto end = std::min(bytes.find('\n'), bytes.size());
    const auto place = bytes.substr(0, end);
    bytes.remove_prefix(end);
    source::LineCutter cutter;
    for (; !bytes.empty(); bytes.remove_prefix(std::min(piece, bytes.size())))
        cutter.cut(bytes.substr(0, piece), [&](std::string_view line) {
            const auto document = nlohmann::json::parse(line, nullptr, false);
            if (document.is_discarded()) return true;
            for (const auto field : {place, std::string_view("voltage"), std::string_view("/battery/voltage")})
                if (const auto figure = source::figure_at(document, field)) {
                    require(std::abs(*figure) <= source::largest_value);
                    figures.push_back(*figure);
                }
            return true;
        });
    return figures;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view bytes(reinterpret_cast<const char*>(data), size);
    require(read(bytes, SIZE_MAX) == read(bytes, 5));
    return 0;
}
