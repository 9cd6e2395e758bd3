#include "twin/household.hpp"

#include <algorithm>
#include <cmath>

namespace amphora::twin {
namespace {

double duty_at(const ApplianceSpec& a, Celsius air) {
    return std::clamp(a.duty * (1 + 0.035 * (air.value() - 20)), 0.03, 0.95);
}

double need_for_warmth(Habit habit, Celsius air) {
    if (habit == Habit::in_frost) return std::clamp((16 - air.value()) / 12, 0.0, 2.5);
    if (habit == Habit::in_heat) return std::clamp((air.value() - 18) / 8, 0.0, 2.5);
    return 1;
}

constexpr Second look_again{600};

}  // namespace

WattHour daily_need(const HouseholdSpec& household) {
    double sum = 0;
    for (const auto& a : household.appliances) {
        const double on = a.habit == Habit::always ? 24
                          : a.habit == Habit::cycling
                              ? 24 * duty_at(a, Celsius(15))
                              : std::min(20.0, a.runs_per_day * to_hours(a.run).value() *
                                                   std::exp(a.length_spread * a.length_spread / 2) *
                                                   need_for_warmth(a.habit, Celsius(15)));
        sum += a.power.value() * on;
    }
    return WattHour(sum);
}

Household::Household(const HouseholdSpec& spec, Random random)
    : spec_(spec), random_(random), states_(spec.appliances.size()) {}

void Household::minute(double hour, bool home, bool thrifty, double eagerness, Celsius air) {
    hour_ = hour;
    home_ = home;
    thrifty_ = thrifty;
    eagerness_ = eagerness;
    air_ = air;
    double total = 0;
    for (std::size_t k = 0; k < states_.size(); ++k) {
        if (!states_[k].on) continue;
        const auto& a = spec_.appliances[k];
        total += a.power.value() * states_[k].level * (1 + a.ripple * random_.grain());
    }
    power_ = Watt(total);
}

double Household::starts_per_hour(const ApplianceSpec& a) const {
    const auto quarter = static_cast<std::size_t>(std::clamp(hour_ / 6, 0.0, 3.99));
    const double weights = a.hours[0] + a.hours[1] + a.hours[2] + a.hours[3];
    double rate = a.runs_per_day * eagerness_ * need_for_warmth(a.habit, air_) * 4 * a.hours[quarter] / weights / 24;
    if (!home_ && !a.runs_when_away) rate = 0;
    if (thrifty_) rate *= a.power > Watt(300) ? 0.05 : 0.5;
    return rate;
}

void Household::start(std::size_t k, Instant now, Second length) {
    states_[k] = {true, false, std::max(0.1, 1 + spec_.appliances[k].spread * random_.normal()), now + length};
}

void Household::cycle(std::size_t k, Instant now) {
    const auto& a = spec_.appliances[k];
    const double duty = duty_at(a, air_);
    if (states_[k].on)
        states_[k] = {false, false, 0, now + a.run * ((1 - duty) / duty * random_.even(0.8, 1.2))};
    else if (home_ || a.runs_when_away)
        start(k, now, a.run * random_.even(0.8, 1.2));
    else
        states_[k].next = now + look_again;
}

void Household::foresee(std::size_t k, Instant now) {
    // Starts are a Poisson process whose rate changes with the hour: look again before it has changed much.
    const double rate = starts_per_hour(spec_.appliances[k]);
    const double wait = rate > 0 ? random_.waiting(seconds_per_hour / rate) : look_again.value() + 1;
    const bool due = wait <= look_again.value();
    states_[k] = {false, due, 0, now + (due ? Second(wait) : look_again)};
}

void Household::turn(std::size_t k, Instant now) {
    const auto& a = spec_.appliances[k];
    if (a.habit == Habit::always) {
        start(k, now, Second(seconds_per_hour));
    } else if (a.habit == Habit::cycling) {
        cycle(k, now);
    } else if (states_[k].due) {
        const double length = a.run.value() * std::exp(a.length_spread * random_.normal());
        start(k, now, Second(std::clamp(length, 5.0, 12 * seconds_per_hour)));
    } else {
        foresee(k, now);
    }
}

void Household::switch_over(Instant now) {
    next_ = Instant{std::numeric_limits<std::int64_t>::max()};
    double total = 0;
    for (std::size_t k = 0; k < states_.size(); ++k) {
        while (now >= states_[k].next) turn(k, now);
        next_ = std::min(next_, states_[k].next);
        if (states_[k].on) total += spec_.appliances[k].power.value() * states_[k].level;
    }
    power_ = Watt(total);
}

}  // namespace amphora::twin
