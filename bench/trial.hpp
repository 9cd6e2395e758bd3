// One van lived through: what the estimator said beside what was true.
#pragma once

#include <cstdint>
#include <vector>

#include "bench/plain_counting.hpp"
#include "bench/score.hpp"
#include "core/pipeline/pipeline.hpp"
#include "twin/draw.hpp"

namespace amphora::bench {

struct Trial {
    std::uint64_t seed = 0;
    Score forward, hindsight, plain;
    double capacity_error = 0;  // share of the true capacity, at the end
    double capacity_z = 0;      // in its own sd
    double offset_error = 0;    // A, at the end
    double offset_z = 0;
    double true_capacity_error = 0;   // of the label, share
    double true_offset = 0;           // A
    double longest_without_full = 0;  // days, by the written evidence
    double lowest = 1;                // true state of charge
};

namespace detail {

struct Moment {
    Instant at;
    double truth;
};

/// Scores the hindsight at the moments, straight between its steps.
inline void score_hindsight(const std::vector<Hindsight>& past, const std::vector<Moment>& moments, Score& score) {
    std::size_t k = 0;
    for (const auto& m : moments) {
        while (k + 1 < past.size() && past[k + 1].at < m.at) ++k;
        if (k + 1 >= past.size()) return;
        const auto &a = past[k], &b = past[k + 1];
        const double share = std::clamp((m.at - a.at) / (b.at - a.at), 0.0, 1.0);
        const auto between = [share](double x, double y) { return x + share * (y - x); };
        score.add(between(a.state_of_charge.mean.value(), b.state_of_charge.mean.value()), m.truth,
                  between(a.state_of_charge.sd.value(), b.state_of_charge.sd.value()));
    }
}

}  // namespace detail

/// Lives `days` of the van and scores every five minutes that were logged, the first day left out.
inline Trial run_trial(const twin::VanSpec& spec, double days) {
    twin::Van van(spec);
    Pipeline pipeline(van.system(), {.keep_for_hindsight = true});
    PlainCounting counting(van.system().battery);
    Trial trial;
    trial.seed = spec.seed;
    std::vector<detail::Moment> moments;
    const auto steps = static_cast<long>(days * 86400 / spec.interval.value());
    const auto every = std::max(1L, static_cast<long>(300 / spec.interval.value()));
    const Instant first_day_over = spec.start + Second(86400);
    Instant full_at = spec.start;
    for (long k = 1; k <= steps; ++k) {
        const auto lines = van.step();
        for (const auto& line : lines) {
            pipeline.push(line);
            counting.push(line);
        }
        if (counting.full_at() > full_at) full_at = counting.full_at();
        if (k % every != 0 || lines.empty() || lines.front().at <= first_day_over) continue;
        const double truth = van.truth().state_of_charge.value();
        const auto now = pipeline.now();
        trial.forward.add(now.state_of_charge.mean.value(), truth, now.state_of_charge.sd.value());
        trial.plain.add(counting.state_of_charge(), truth, 0);
        trial.lowest = std::min(trial.lowest, truth);
        trial.longest_without_full = std::max(trial.longest_without_full, (lines.front().at - full_at).value() / 86400);
        moments.push_back({lines.front().at, truth});
    }
    detail::score_hindsight(pipeline.hindsight(), moments, trial.hindsight);

    const auto end = pipeline.now();
    const auto& truth = van.truth();
    trial.capacity_error = end.full_charge_capacity.mean / truth.capacity - 1;
    trial.capacity_z = (end.full_charge_capacity.mean - truth.capacity) / end.full_charge_capacity.sd;
    trial.offset_error = (end.meter_offset.mean - truth.offset).value();
    trial.offset_z = (end.meter_offset.mean - truth.offset) / end.meter_offset.sd;
    trial.true_capacity_error = truth.capacity / spec.system.battery.design_capacity - 1;
    trial.true_offset = truth.offset.value();
    return trial;
}

}  // namespace amphora::bench
