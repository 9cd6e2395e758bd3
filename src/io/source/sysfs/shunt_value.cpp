#include "io/source/sysfs/shunt_value.hpp"

#include <fmt/core.h>

#include <cmath>

#include "io/source/sysfs/number_file.hpp"

namespace amphora::sysfs {

std::optional<Ohm> shunt_in_use(const std::filesystem::path& device) {
    if (const auto microohms = read_number(device / "shunt_resistor")) return Ohm(*microohms * 1e-6);
    for (const auto* name : {"in_shunt_resistor", "in_current_shunt_resistor"})
        if (const auto ohms = read_number(device / name)) return Ohm(*ohms);
    return std::nullopt;
}

std::optional<std::string> shunt_mismatch(const std::filesystem::path& device, Ohm in_use, const Meter& meter) {
    constexpr double allowed = 0.005;  // shunts are made to 0.1 % to 0.5 % (common practice, no source)
    if (!meter.rated_current.known() || !meter.rated_drop.known()) return std::nullopt;
    const Ohm rated = meter.rated_drop / meter.rated_current;
    if (std::abs(in_use / rated - 1.0) <= allowed) return std::nullopt;
    return fmt::format(
        "{}: the driver reckons with a shunt of {:.6g} microohm, but meter \"{}\" has {:.6g} ({:g} A at {:g} mV), so "
        "that "
        "its currents are wrong by the factor {:.4g}; set its shunt resistor first (docs/howto/connect-a-meter.md)",
        device.string(), in_use.value() * 1e6, meter.name, rated.value() * 1e6, meter.rated_current.value(),
        meter.rated_drop.value() * 1e3, rated / in_use);
}

}  // namespace amphora::sysfs
