#include "core/appliance/draw_settings.hpp"

#include <algorithm>

namespace amphora {
namespace {

/// The finest step of the meter in use, as far as the description says; zero where it does not.
Ampere resolution_of(const System& s) {
    for (std::size_t i = 0; i < s.meters.size() && i < s.equipment.meters.size(); ++i) {
        const auto& detail = s.equipment.meters[i];
        if (detail.in_use && detail.resolution.known() && s.meters[i].rated_current.known())
            return detail.resolution / (s.meters[i].rated_drop / s.meters[i].rated_current);
    }
    return Ampere(0);
}

}  // namespace

const described::Appliance* appliance_named(const System& system, std::string_view name) {
    const auto& all = system.equipment.appliances;
    const auto at = std::ranges::find(all, name, &described::Appliance::name);
    return at == all.end() ? nullptr : &*at;
}

DrawSettings draw_settings(const System& system, std::string_view appliance) {
    DrawSettings settings;
    settings.resolution = resolution_of(system);
    const auto* described = appliance_named(system, appliance);
    settings.cycles = described != nullptr && described->duty < Fraction(1.0);
    return settings;
}

}  // namespace amphora
