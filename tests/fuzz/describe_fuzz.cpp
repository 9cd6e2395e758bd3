// Any bytes at the door of system.toml: it must answer, and answer with a sound System or with mistakes that stand
// inside the text.
#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <string_view>
#include <utility>

#include "io/describe/describe.hpp"

namespace {

void demand(bool holds) {
    if (!holds) std::abort();
}

void sound(const amphora::System& s) {
    const auto& b = s.battery;
    demand(s.nominal_voltage.value() > 0 && b.design_capacity.value() > 0 && b.rated_over.value() > 0);
    demand(b.cells_in_series > 0 && b.reserve.value() >= 0 && b.reserve.value() <= 0.9);
    demand(b.full.voltage.value() > 0 && b.full.current_below.value() > 0 && b.full.held_for.value() >= 0);
    for (const auto& meter : s.meters) demand(meter.rated_current.known() == meter.rated_drop.known());
    if (b.ocv) {
        demand(b.ocv->voltage.size() >= 2 && b.ocv->voltage.size() == b.ocv->state_of_charge.size());
        demand(std::ranges::is_sorted(b.ocv->voltage) && std::ranges::is_sorted(b.ocv->state_of_charge));
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    const auto described = amphora::describe::describe_text(text);
    if (described) {
        sound(described->system);
        return 0;
    }
    const auto lines = static_cast<std::size_t>(std::ranges::count(text, '\n')) + 1;
    demand(!described.error().empty());
    demand(std::ranges::is_sorted(described.error(), {}, [](const auto& m) { return std::pair(m.line, m.column); }));
    for (const auto& mistake : described.error()) {
        demand(mistake.line >= 1 && mistake.line <= lines && mistake.column >= 1 && !mistake.message.empty());
        demand(!to_text(mistake, "van.toml").contains('\n'));
    }
    return 0;
}
