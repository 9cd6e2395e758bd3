#include "core/design/drop.hpp"

#include <algorithm>

namespace amphora::design {
namespace {

constexpr double feet_per_metre = 3.280839895;

}  // namespace

Volt voltage_drop(const Run& run, Ampere current) {
    const Ampacity capacity = ampacity(run.size, run.laying);
    const Celsius copper = std::min(conductor_temperature(capacity, run.laying, current), run.laying.insulation);
    return resistance(run.size, run.one_way * 2.0, copper) * current;
}

double circular_mils(Ampere current, Metre loop, Volt allowed) {
    return 10.75 * current.value() * loop.value() * feet_per_metre / allowed.value();
}

Volt iso_drop(Ampere current, Metre loop, SquareMillimetre area) {
    return Volt(0.0164 * current.value() * loop.value() / area.value());
}

std::optional<ConductorSize> thinnest(SizeSeries series, const Laying& laying, Metre one_way, Ampere current,
                                      Volt allowed) {
    for (const ConductorSize& size : sizes(series)) {
        if (size.area < SquareMillimetre(1.0) && series == SizeSeries::metric) continue;  // too frail to run singly
        if (ampacity(size, laying).corrected() < current) continue;
        if (voltage_drop({size, one_way, laying}, current) <= allowed) return size;
    }
    return std::nullopt;
}

}  // namespace amphora::design
