// What empties the battery: the appliances of a household on wheels and when they run.
#pragma once

#include <array>
#include <limits>
#include <string>
#include <vector>

#include "core/quantity/instant.hpp"
#include "core/quantity/quantity.hpp"
#include "twin/random.hpp"

namespace amphora::twin {

enum class Habit {
    always,   // never off
    cycling,  // a thermostat: on for a while, off for a while, more on when it is warm
    now_and_then,
    in_frost,  // now and then, the more the colder
    in_heat
};

struct ApplianceSpec {
    std::string name;
    Habit habit = Habit::now_and_then;
    Watt power{0};
    double spread = 0.05;                     // share by which one run differs from the next
    double ripple = 0.01;                     // share by which it wavers while it runs
    double runs_per_day = 1;                  // now_and_then; cycling: ignored
    Second run{600};                          // typical length; cycling: on-time
    double length_spread = 0.5;               // sd of the logarithm of the length
    double duty = 0.3;                        // cycling: share of on-time at 20 C
    std::array<double, 4> hours{1, 1, 1, 1};  // weight of night (0-6), morning (6-12), afternoon, evening (18-24)
    bool runs_when_away = false;
};

struct HouseholdSpec {
    std::vector<ApplianceSpec> appliances;
    double weekend = 1.0;  // factor on use at weekends
    double wander = 0.2;   // sd of the logarithm of a day's use
};

class Household {
public:
    Household(const HouseholdSpec& spec, Random random);

    /// Once a minute: who is at home, how warm it is, what hour it is.
    void minute(double hour, bool home, bool thrifty, double eagerness, Celsius air);

    /// Power drawn now.
    Watt power(Instant now) {
        if (now >= next_) switch_over(now);
        return power_;
    }
    [[nodiscard]] const HouseholdSpec& spec() const { return spec_; }

private:
    struct State {
        bool on = false;
        bool due = false;  // off, and `next` is its start rather than the time to look again
        double level = 1;  // share of its power in this run
        Instant next{};
    };
    void switch_over(Instant now);
    void turn(std::size_t k, Instant now);
    void start(std::size_t k, Instant now, Second length);
    void cycle(std::size_t k, Instant now);
    void foresee(std::size_t k, Instant now);
    [[nodiscard]] double starts_per_hour(const ApplianceSpec& a) const;

    HouseholdSpec spec_;
    Random random_;
    std::vector<State> states_;
    Instant next_{};
    Watt power_{0};
    double hour_ = 12, eagerness_ = 1;
    bool home_ = true, thrifty_ = false;
    Celsius air_{15};
};

/// Energy one day at home takes on average at 15 C.
[[nodiscard]] WattHour daily_need(const HouseholdSpec& household);

}  // namespace amphora::twin
