#include "core/appliance/duty_cycle.hpp"

#include <algorithm>

#include "core/quantity/sample.hpp"

namespace amphora {
namespace {

constexpr std::size_t least_run = 3;
constexpr std::size_t least_readings = 12;

Ampere quantile(std::vector<Ampere> sorted, double share) {
    return sorted[static_cast<std::size_t>(share * static_cast<double>(sorted.size() - 1))];
}

/// True while it runs; what lasts shorter than three readings is smoothed over.
std::vector<bool> runs_of(std::span<const Ampere> draw, Ampere middle, Ampere margin) {
    std::vector<bool> runs(draw.size());
    bool on = draw.front() > middle;
    for (std::size_t i = 0; i < draw.size(); ++i) {
        const bool other = on ? draw[i] < middle - margin : draw[i] > middle + margin;
        if (other && i + least_run <= draw.size()) {
            const bool stays = std::ranges::all_of(
                draw.subspan(i, least_run), [&](Ampere a) { return on ? a < middle - margin : a > middle + margin; });
            if (stays) on = !on;
        }
        runs[i] = on;
    }
    return runs;
}

}  // namespace

std::optional<DutyCycle> find_duty_cycle(std::span<const Ampere> draw, Ampere rest, Ampere noise) {
    if (draw.size() < least_readings) return std::nullopt;
    std::vector<Ampere> sorted(draw.begin(), draw.end());
    std::ranges::sort(sorted);
    const Ampere low = quantile(sorted, 0.05);
    const Ampere high = quantile(sorted, 0.95);
    if (high - low < std::max((high - rest) * 0.3, noise * 6.0)) return std::nullopt;
    const auto runs = runs_of(draw, (low + high) / 2.0, (high - low) * 0.15);
    DutyCycle cycle;
    std::vector<Ampere> running;
    bool changed = false;
    for (std::size_t i = 0; i < runs.size(); ++i) {
        if (runs[i]) running.push_back(draw[i]);
        if (i == 0) continue;
        changed = changed || runs[i] != runs[i - 1];
        if (runs[i] && !runs[i - 1]) cycle.starts.push_back(i);
    }
    if (!changed) return std::nullopt;
    cycle.running = sample_mean<Ampere>(running);
    cycle.duty = Fraction::missing();
    if (cycle.whole_cycles() > 0) {
        const auto from = runs.begin() + static_cast<std::ptrdiff_t>(cycle.starts.front());
        const auto to = runs.begin() + static_cast<std::ptrdiff_t>(cycle.starts.back());
        cycle.duty = Fraction(static_cast<double>(std::count(from, to, true)) / static_cast<double>(to - from));
    }
    return cycle;
}

}  // namespace amphora
