// What a lead-acid battery can give just now: at a high current the charge at hand runs out before the bound charge can
// follow, and comes back with rest. Two wells (core/battery/kinetic_battery) beside the filter, levelled with what it
// believes.
#pragma once

#include <optional>

#include "core/battery/kinetic_battery.hpp"
#include "core/estimate/step.hpp"
#include "core/system/system.hpp"

namespace amphora {

class RateLimit {
public:
    /// Without effect for chemistries whose capacity hardly depends on the rate (lithium).
    explicit RateLimit(const Battery& battery);

    /// Moves the wells by a step's charge and sets their sum to the state of charge believed after it.
    void follow(const Step& step, Fraction state_of_charge);

    /// How long this current (negative: discharging) can flow before the charge at hand is used up, the capacity being
    /// what the filter believes. Infinite when charging, at less than a quarter of the
    /// capacity per hour, and for lithium.
    [[nodiscard]] Hour time_to_empty(Ampere current, AmpHour full_charge_capacity) const;

private:
    std::optional<KineticBattery> battery_;
    double label_to_wells_ = 1.0;
    Wells wells_{};
};

}  // namespace amphora
