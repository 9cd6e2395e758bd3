// The battery bank as physics: charge, rest voltage, hysteresis, resistances, diffusion, gassing, self-discharge.
#pragma once

#include <array>
#include <cmath>
#include <cstddef>

#include "core/quantity/quantity.hpp"
#include "core/system/system.hpp"
#include "twin/curve.hpp"
#include "twin/hysteresis.hpp"

namespace amphora::twin {

/// What one bank is made of. Resistances are per cell and in volts per C-rate (V at a current of capacity / 1 h), so
/// that they mean the same for a small bank and a large one.
struct BankSpec {
    Chemistry chemistry = Chemistry::lfp;
    AmpHour capacity{100};  // true, all of it at a crawl
    int cells = 4;
    Curve rest;
    Volt rest_per_kelvin{0};  // per cell, from 25 C
    HysteresisSpec hysteresis;

    double ohmic = 0.04;        // V per C-rate at 25 C
    double activation = 2500;   // K; resistance grows as exp(activation * (1/T - 1/298 K))
    double growth_empty = 0.5;  // share by which resistance has grown at empty, dying away within 15 % of charge
    struct Relaxation {
        double resistance = 0;  // V per C-rate
        Second tau{60};
    };
    std::array<Relaxation, 6> relaxations{};
    std::size_t relaxation_count = 0;

    double efficiency = 0.999;       // share of the charging current that is stored, away from full
    double efficiency_full = 0.999;  // the same at full; falls linearly from `efficiency_knee` on
    double efficiency_knee = 0.8;
    double self_discharge = 0.02 / 720;  // share of capacity per hour at 20 C; doubles per 10 K

    // Reluctance near full: charging meets a resistance of acceptance * acceptance_knee / (1 + acceptance_knee -
    // charge), in V per C-rate, whose voltage is polarisation and so comes and goes with a lag.
    double acceptance = 0;
    double acceptance_knee = 0.01;
    Second acceptance_lag{120};

    // Lead-acid only.
    double gassing = 0;        // C-rate of gassing current at 2.40 V per cell and 25 C
    Volt gassing_decade{0.2};  // rise in cell voltage for ten times the gassing
    double surface_share = 0;  // part of the charging overvoltage that stays as surface charge
    Second surface_rise{1200}, surface_decay{14400};
    double available_share = 1;  // two wells: part of the charge that is at hand; 1 = no second well
    double well_rate = 1;        // 1/h, rate constant k' of the flow between the wells

    Volt cut_low{0};  // whole bank; loads are cut below, until `reconnect` is passed
    Volt reconnect{0};
    Volt cut_high{1e9};  // whole bank; chargers are cut above
    bool no_charge_in_frost = false;
};

class Bank {
public:
    Bank(const BankSpec& spec, Fraction state_of_charge, Second step);

    /// Sets the temperature of the cells; cheap enough for once a minute, not for every step.
    void set_temperature(Celsius temperature);

    /// The current that would bring the terminals to this voltage at the end of the coming step, through `cable` ohms.
    [[nodiscard]] Ampere current_to_reach(Volt voltage, Ohm cable) const {
        const double cell = voltage.value() / spec_.cells;
        const double wire = cable.value() * capacity_ / spec_.cells;
        if (cell <= resting_) return Ampere((cell - resting_) / (ohmic_now_ + fast_ + wire) * capacity_);
        return Ampere(((cell - resting_) / (charging_slope_ + wire) + gassing(cell)) * capacity_);
    }

    /// Passes this current for one step; the terminal voltage at its end.
    Volt step(Ampere current);

    [[nodiscard]] Fraction state_of_charge() const { return Fraction(charge_); }
    [[nodiscard]] Volt voltage() const { return Volt(terminal_ * spec_.cells); }
    /// Charge that went into the cells since the start, losses and self-discharge taken off.
    [[nodiscard]] AmpHour stored() const { return AmpHour(stored_ * capacity_); }
    [[nodiscard]] const BankSpec& spec() const { return spec_; }

private:
    void prepare();
    /// C-rate of gassing at this cell voltage.
    [[nodiscard]] double gassing(double cell) const {
        return gas_factor_ > 0 ? gas_factor_ * std::exp((cell - 2.40) * gas_steepness_) : 0;
    }
    /// C-rate of gassing when this C-rate flows in.
    [[nodiscard]] double gassed(double rate) const;

    BankSpec spec_;
    double capacity_;
    double step_hours_;
    double charge_;     // state of charge
    double available_;  // level of the well at hand; equals charge_ with one well
    double stored_ = 0;
    Hysteresis hysteresis_;
    double bent_ = 0;  // V per cell of hysteresis now
    double surface_ = 0;
    double reluctance_ = 0, reluctance_keep_ = 0;  // V per cell; share left after one step
    std::array<double, 6> over_{}, keep_{}, resistance_{};
    double fast_ = 0;  // V per C-rate that the relaxations add within one step
    double cold_ = 1;  // factor on resistances
    double rest_shift_ = 0, leak_ = 0, gas_factor_ = 0, gas_steepness_ = 0;
    // Prepared for the coming step:
    double resting_ = 0;         // V per cell without current
    double ohmic_now_ = 0;       // V per C-rate
    double accepting_ = 0;       // V per C-rate of the reluctance near full
    double charging_slope_ = 1;  // V per C-rate when charging
    double terminal_ = 0;
};

}  // namespace amphora::twin
