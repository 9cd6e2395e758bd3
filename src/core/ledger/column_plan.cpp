#include "core/ledger/column_plan.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <vector>

#include "core/ledger/frequencies.hpp"

namespace amphora::ledger {
namespace {

constexpr std::size_t shortest_stretch = 128;  // the sample is four stretches of so many values
constexpr std::size_t longest_stretch = 256;
constexpr unsigned most_low_bits = 16;
constexpr double table_entry_bits = 12.0;

using Stretches = std::vector<std::span<const std::int64_t>>;

Stretches sample_of(std::span<const std::int64_t> values) {
    const std::size_t stretch = std::clamp(values.size() / 16, shortest_stretch, longest_stretch);
    if (values.size() <= 4 * stretch) return {values};
    Stretches s;
    for (std::size_t i = 0; i < 4; ++i) s.push_back(values.subspan(i * values.size() / 4, stretch));
    return s;
}

/// The mean size of the step from one value to the next, in quarters of a unit; jumps (more than eight medians) left
/// out.
std::int64_t usual_step_quarters(const Stretches& sample) {
    std::vector<std::int64_t> steps;
    for (const auto& s : sample)
        for (std::size_t i = 1; i < s.size(); ++i) steps.push_back(std::abs(s[i] - s[i - 1]));
    if (steps.empty()) return 0;
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), middle, steps.end());
    const std::int64_t jump = 8 * std::max<std::int64_t>(1, *middle);
    std::int64_t sum = 0;
    std::int64_t count = 0;
    for (const std::int64_t step : steps) {
        if (step > jump) continue;
        sum += step;
        ++count;
    }
    return (4 * sum + count / 2) / count;
}

/// What the sample would take, in bits for the whole column.
double estimate(const Stretches& sample, std::size_t whole, const ColumnPlan& plan) {
    std::array<Counts, 4> counts{};
    double plain = 0.0;
    std::size_t seen = 0;
    for (const auto& s : sample) {
        RunningMean mean(s.front(), plan.mean);
        for (const std::int64_t v : s) {
            const std::int64_t residual = v - mean.floor();
            const Split split = split_residual(residual >> plan.low_bits);
            ++counts[mean.context()][split.symbol];
            plain += split.extra_bits;
            mean.learn(v);
        }
        seen += s.size();
    }
    double table = 0.0;
    for (unsigned c = 0; c < plan.mean.contexts; ++c) {
        plain += shannon_bits(counts[c]);
        table +=
            table_entry_bits * static_cast<double>(std::ranges::count_if(counts[c], [](auto n) { return n != 0; }));
    }
    plain += static_cast<double>(plan.low_bits) * static_cast<double>(seen);
    return plain * static_cast<double>(whole) / static_cast<double>(seen) + table;
}

}  // namespace

ColumnPlan plan_column(std::span<const std::int64_t> values) {
    ColumnPlan best;
    if (values.empty()) return best;
    const auto [low, high] = std::ranges::minmax(values);
    if (low <= -mean_value_limit || high >= mean_value_limit) {
        best.wide = true;
        return best;
    }
    best.mean = {1, 0, 1};
    if (low == high) return best;
    const Stretches sample = sample_of(values);
    const std::int64_t step = usual_step_quarters(sample);
    const auto noise_bits = static_cast<unsigned>(std::bit_width(static_cast<std::uint64_t>(step) / 64U));
    best.low_bits = std::min(noise_bits, most_low_bits);
    double least = estimate(sample, values.size(), best);
    const auto consider = [&](const MeanSettings& mean) {
        ColumnPlan plan = best;
        plan.mean = mean;
        const double bits = estimate(sample, values.size(), plan);
        if (bits >= least) return;
        least = bits;
        best = plan;
    };
    // The step between two noisy values is 1.13 standard deviations of the noise in the mean (Gaussian); the mean is
    // started afresh beyond about three, four or six of them.
    const unsigned contexts = step < 8 ? 4 : 1;
    for (const unsigned length : {8U, 32U, 128U})
        for (const std::int64_t halves : {5, 7, 11})
            consider({length, static_cast<std::uint32_t>(std::max<std::int64_t>(2, step * halves / 2)), contexts});
    if (best.mean.length > 1) consider({best.mean.length, best.mean.restart, 5 - contexts});
    return best;
}

}  // namespace amphora::ledger
