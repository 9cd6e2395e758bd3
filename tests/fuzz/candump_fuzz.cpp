// Any bytes as lines of candump: no crash, no memory that grows with a line, the same frames however the bytes arrive,
// and no figure that the message's number format cannot hold.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <string_view>
#include <vector>

#include "io/source/line_cutter.hpp"
#include "io/source/rvc/bus_listener.hpp"
#include "io/source/rvc/candump_line.hpp"

namespace {

using namespace amphora;

void require(bool holds) {
    if (!holds) std::abort();
}

struct Heard {
    std::vector<double> figures;
    std::uint64_t faults = 0;

    bool operator==(const Heard&) const = default;
};

Heard hear(std::string_view bytes, std::size_t piece) {
    Heard heard;
    source::LineCutter cutter;
    rvc::BusListener listener;
    std::int64_t us = 0;
    for (; !bytes.empty(); bytes.remove_prefix(std::min(piece, bytes.size())))
        heard.faults += cutter.cut(bytes.substr(0, piece), [&](std::string_view line) {
            const auto read = rvc::read_candump_line(line);
            if (!read) {
                require(!rvc::describe(read.error()).empty());
                ++heard.faults;
                return true;
            }
            require(read->frame.length <= 8 && read->frame.id <= 0x1FFF'FFFF);
            require(read->frame.extended || read->frame.id <= 0x7FF);
            const auto taken = listener.take(read->frame, BootTime{us += 100'000}, [&](const rvc::BusFigure& figure) {
                require(std::isfinite(figure.value) && std::abs(figure.value) <= 4.3e6);
                require(figure.instance >= 1 && figure.instance <= 252);
                heard.figures.push_back(figure.value);
            });
            if (!taken) ++heard.faults;
            return true;
        });
    return heard;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view bytes(reinterpret_cast<const char*>(data), size);
    require(hear(bytes, SIZE_MAX) == hear(bytes, 7));
    return 0;
}
