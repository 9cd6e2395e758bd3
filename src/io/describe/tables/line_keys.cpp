// The keys of [[source]] that only lines of text have, and the twin.
#include "io/describe/tables/rows.hpp"
#include "io/describe/tables/tables.hpp"

namespace amphora::describe {
namespace {

using described::LineFormat;
using described::Parity;

constexpr Words<LineFormat, 2> formats{{{"json", LineFormat::json}, {"pattern", LineFormat::pattern}}};
constexpr Words<Parity, 3> parities{{{"none", Parity::none}, {"even", Parity::even}, {"odd", Parity::odd}}};

}  // namespace

std::vector<Key> line_keys() {
    Key pattern = text("pattern",
                       "What a line looks like: `\"V={v} I={i}\"`. Braces stand for a number and hold the `field` of "
                       "its channel; `*` stands for anything, a blank for any blanks.",
                       "needed for `format = \"pattern\"`",
                       kept([](auto& s, auto i) -> auto& { return s.live.sources[i].lines.pattern; }));
    pattern.range = {1, 1000};
    return {
        whole("baud", {300, 4'000'000}, "Speed of a serial line.", "9600",
              kept([](auto& s, auto i) -> auto& { return s.live.sources[i].serial.baud; })),
        word("parity", parities, "Parity of a serial line.", "none",
             [](auto& s, auto i) -> auto& { return s.live.sources[i].serial.parity; }),
        word("format", formats, "How lines of text are read: an object of JSON each, or by `pattern`.", "json",
             [](auto& s, auto i) -> auto& { return s.live.sources[i].lines.format; }),
        std::move(pattern),
        whole("seed", {0, 1'000'000}, "Of kind twin: which invented van.", "1",
              kept([](auto& s, auto i) -> auto& { return s.live.sources[i].twin.seed; })),
    };
}

}  // namespace amphora::describe
