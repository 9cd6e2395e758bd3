// Years of a plan, hour by hour, with weather and use drawn by chance: in which month it fails, how often, and what it
// does to the battery. Deterministic: the same plan, seed and numbers give the same result on any number of threads.
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <vector>

#include "core/design/year_lanes.hpp"

namespace amphora::design {

struct SimulationOptions {
    int draws = 1000;  // rounded up to whole blocks of 64
    int years = 1;     // one after the other in each draw
    std::uint64_t seed = 1;
    Chances chances{};
};

/// 5 %, 50 % and 95 % of the draws lie below.
struct Band {
    double low = 0.0;
    double middle = 0.0;
    double high = 0.0;
};

struct MonthOutcome {
    double runs_dry = 0.0;     // share of the years in which the bank did so in this month
    double runs_dry_sd = 0.0;  // of that share, from the number of years drawn
    Hour hours_without{};      // in the mean year
    WattHour unserved{};       // in the mean year
    WattHour wasted{};         // charge that found no room, in the mean year
    Band lowest;               // state of charge
};

struct Wear {
    double full_cycles_a_year = 0.0;
    double life_used_by_cycles = 0.0;    // share a year, rainflow and a typical life curve
    double life_used_by_calendar = 0.0;  // share a year
    double years_low = 0.0;              // to the end of life, with a factor of two either way in the curves
    double years_high = 0.0;
};

struct Outcome {
    std::array<MonthOutcome, 12> months;
    int years_simulated = 0;
    double any_dry = 0.0;  // share of the years in which it ran dry at all
    Wear wear;
};

/// Does `block(i)` once for each i from 0 to count - 1, in any order, side by side or not: the caller's threads.
using Runner = std::function<void(int count, const std::function<void(int)>& block)>;

/// One after the other.
void in_turn(int count, const std::function<void(int)>& block);

/// Runs the simulation in blocks of 64 draws; `runner` shares them out.
[[nodiscard]] Outcome simulate(const Plan& plan, const SimulationOptions& options, const Runner& runner = in_turn);

/// The plan with its panels (all solar chargers) multiplied, or its bank.
[[nodiscard]] Plan with_panels(Plan plan, double factor);
[[nodiscard]] Plan with_bank(Plan plan, double factor);

}  // namespace amphora::design
