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
    double longest_not_full = 0;      // days, in truth
    double longest_break = 0;         // of the log, days
    double lowest = 1;                // true state of charge

    /// Whether this van was full, in truth, at least every ten days, and its log never broke off for six hours.
    [[nodiscard]] bool full_in_ten_days() const { return longest_not_full <= 10 && longest_break <= 0.25; }
};

namespace detail {

struct Moment {
    Instant at;
    double truth;
};

/// What was said at one moment.
struct Saying {
    Instant at;
    double mean, sd;
};

/// Scores sayings at the moments, straight between two of them, so that gaps in the log count as well.
inline void score_at(const std::vector<Moment>& moments, const std::vector<Saying>& said, Score& score) {
    std::size_t k = 0;
    for (const auto& m : moments) {
        while (k + 1 < said.size() && said[k + 1].at < m.at) ++k;
        if (k + 1 >= said.size()) return;
        const auto &a = said[k], &b = said[k + 1];
        const double share = std::clamp((m.at - a.at) / (b.at - a.at), 0.0, 1.0);
        score.add(a.mean + share * (b.mean - a.mean), m.truth, a.sd + share * (b.sd - a.sd));
    }
}

inline std::vector<Saying> sayings(const std::vector<Hindsight>& past) {
    std::vector<Saying> said;
    said.reserve(past.size());
    for (const auto& h : past) said.push_back({h.at, h.state_of_charge.mean.value(), h.state_of_charge.sd.value()});
    return said;
}

}  // namespace detail

/// Lives `days` of the van and scores the truth of every five minutes, the first day left out.
template <class Van>
Trial run_trial(Van van, std::uint64_t seed, Second interval, double days) {
    const Instant start = van.truth().at;
    Pipeline pipeline(van.system(), {.keep_for_hindsight = true});
    PlainCounting counting(van.system().battery);
    Trial trial;
    trial.seed = seed;
    std::vector<detail::Moment> moments;
    std::vector<detail::Saying> forward, plain;
    const auto steps = static_cast<long>(days * 86400 / interval.value());
    const auto every = std::max(1L, static_cast<long>(300 / interval.value()));
    const Instant first_day_over = start + Second(86400);
    constexpr Fraction truly_full{0.985};
    Instant full_at = start, truly_full_at = start, logged_at = start;
    for (long k = 1; k <= steps; ++k) {
        const auto lines = van.step();
        for (const auto& line : lines) {
            pipeline.push(line);
            counting.push(line);
        }
        if (counting.full_at() > full_at) full_at = counting.full_at();
        const Instant now = van.truth().at;
        if (van.truth().state_of_charge > truly_full) truly_full_at = now;
        trial.longest_not_full = std::max(trial.longest_not_full, (now - truly_full_at).value() / 86400);
        trial.longest_break = std::max(trial.longest_break, (now - logged_at).value() / 86400);
        if (!lines.empty()) logged_at = now;
        if (k % every != 0) continue;
        const double truth = van.truth().state_of_charge.value();
        if (!lines.empty()) {
            const auto estimate = pipeline.now().state_of_charge;
            forward.push_back({now, estimate.mean.value(), estimate.sd.value()});
            plain.push_back({now, counting.state_of_charge(), 0});
        }
        if (now <= first_day_over) continue;
        moments.push_back({now, truth});
        trial.lowest = std::min(trial.lowest, truth);
        trial.longest_without_full = std::max(trial.longest_without_full, (now - full_at).value() / 86400);
    }
    detail::score_at(moments, forward, trial.forward);
    detail::score_at(moments, plain, trial.plain);
    detail::score_at(moments, detail::sayings(pipeline.hindsight()), trial.hindsight);

    const auto end = pipeline.now();
    const auto& truth = van.truth();
    trial.capacity_error = end.full_charge_capacity.mean / truth.capacity - 1;
    trial.capacity_z = (end.full_charge_capacity.mean - truth.capacity) / end.full_charge_capacity.sd;
    trial.offset_error = (end.meter_offset.mean - truth.offset).value();
    trial.offset_z = (end.meter_offset.mean - truth.offset) / end.meter_offset.sd;
    trial.true_capacity_error = truth.capacity / van.system().battery.design_capacity - 1;
    trial.true_offset = truth.offset.value();
    return trial;
}

}  // namespace amphora::bench
