// Years of a plan, hour by hour, with weather and use drawn by chance: in which month it fails, how often, and what it
// does to the battery. Deterministic: the same plan, seed and numbers give the same result on any number of threads.
#pragma once

#include <array>
#include <atomic>
#include <cstdint>
#include <vector>

#include "core/design/year_lanes.hpp"

namespace amphora::design {

struct SimulationOptions {
    int draws = 1000;  // rounded up to whole blocks of 64
    int years = 1;     // one after the other in each draw
    std::uint64_t seed = 1;
    unsigned threads = 0;  // 0: all there are
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

/// Runs the simulation. `done` counts finished blocks of `blocks_of(options)`, for a progress bar.
[[nodiscard]] Outcome simulate(const Plan& plan, const SimulationOptions& options, std::atomic<int>* done = nullptr);

[[nodiscard]] constexpr int blocks_of(const SimulationOptions& options) { return (options.draws + lanes - 1) / lanes; }

/// The plan with its panels (all solar chargers) multiplied, or its bank.
[[nodiscard]] Plan with_panels(Plan plan, double factor);
[[nodiscard]] Plan with_bank(Plan plan, double factor);

}  // namespace amphora::design
