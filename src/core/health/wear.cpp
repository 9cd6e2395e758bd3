#include "core/health/wear.hpp"

#include <cmath>

namespace amphora {
namespace {

constexpr double gas_constant = 8.3144598;
constexpr double reference_kelvin = 298.15;

double arrhenius(double activation, Celsius t) {
    return std::exp(-activation / gas_constant * (1.0 / to_kelvin(t).value() - 1.0 / reference_kelvin));
}

double cubed(double x) { return x * x * x; }

}  // namespace

Fraction lfp_calendar_loss(Hour age, Celsius temperature, Fraction state_of_charge) {
    const double by_temperature = 1.2571e-5 * arrhenius(17126.0, temperature);
    const double by_charge = 2.8575 * cubed(state_of_charge.value() - 0.5) + 0.60225;
    return Fraction(by_temperature * by_charge * std::sqrt(to_seconds(age).value()));
}

Fraction lfp_cycle_loss(double full_equivalent_cycles, Fraction depth, CRate rate) {
    const double by_rate = 0.0630 * rate.value() + 0.0971;
    const double by_depth = 4.0253 * cubed(depth.value() - 0.6) + 1.0923;
    return Fraction(by_rate * by_depth * std::sqrt(full_equivalent_cycles) / 100.0);
}

CycleLife::CycleLife(Fraction depth1, double cycles1, Fraction depth2, double cycles2)
    : exponent_(std::log(cycles1 / cycles2) / std::log(depth2 / depth1)),
      at_full_(cycles1 * std::pow(depth1.value(), exponent_)) {}

double CycleLife::cycles(Fraction depth) const { return at_full_ * std::pow(depth.value(), -exponent_); }

double CycleLife::damage(std::span<const Swing<Fraction>> swings_of_charge) const {
    double sum = 0.0;
    for (const Swing<Fraction>& s : swings_of_charge) {
        if (s.range > Fraction(0.0)) sum += s.count / cycles(s.range);
    }
    return sum;
}

CycleLife typical_life(Chemistry chemistry) {
    switch (chemistry) {
        case Chemistry::agm:
            return {Fraction(0.5), 700, Fraction(0.8), 450};
        case Chemistry::gel:
            return {Fraction(0.5), 1000, Fraction(0.8), 500};
        case Chemistry::flooded:
            return {Fraction(0.5), 1200, Fraction(0.8), 600};
        case Chemistry::lto:
            return {Fraction(0.5), 20000, Fraction(0.8), 10000};
        case Chemistry::nmc:
        case Chemistry::nca:
            return {Fraction(0.5), 2000, Fraction(0.8), 1000};
        case Chemistry::lfp:
            break;
    }
    return {Fraction(0.5), 7000, Fraction(0.8), 4000};
}

double lead_acid_calendar_years(Celsius temperature) {
    constexpr double years_at_20 = 8.0;
    return years_at_20 / std::exp2((temperature.value() - 20.0) / 10.0);
}

}  // namespace amphora
