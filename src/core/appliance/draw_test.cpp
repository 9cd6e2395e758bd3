#include "core/appliance/draw_test.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/quantity/sample.hpp"

namespace amphora {
namespace {

constexpr std::size_t wanted_cycles = 2;
constexpr double least_effective = 6.0;  // fewer independent readings say nothing of their spread

MeanError error_of(const CorrelatedMean& mean, double weight) {
    return {mean.error * weight, DegreesOfFreedom(std::max(mean.effective - 1.0, 1.0))};
}

/// Whole cycles as readings of their own: the mean of their means, and how far they lie apart.
CorrelatedMean over_cycles(std::span<const Ampere> draw, const DutyCycle& cycle) {
    std::vector<Ampere> means;
    for (std::size_t i = 0; i + 1 < cycle.starts.size(); ++i)
        means.push_back(sample_mean(draw.subspan(cycle.starts[i], cycle.starts[i + 1] - cycle.starts[i])));
    const auto whole = draw.subspan(cycle.starts.front(), cycle.starts.back() - cycle.starts.front());
    const auto spread = sample_statistics<Ampere>(means);
    const auto n = static_cast<double>(means.size());
    return {.mean = sample_mean(whole), .spread = spread.sd, .error = spread.sd / std::sqrt(n), .effective = n};
}

}  // namespace

void DrawTest::push(const Reading& reading) {
    if (!begun_ || step_ == DrawStep::done || !reading.current.known()) return;
    if (reading.at - switched_at_ < settings_.settle) return;
    Part& p = parts_[static_cast<std::size_t>(step_)];
    if (p.draw.empty()) p.first = reading.at;
    if (!p.draw.empty() && reading.at <= p.last) return;
    p.last = reading.at;
    p.draw.push_back(-reading.current);
    if (reading.voltage.known()) p.voltage.push_back(reading.voltage);
}

void DrawTest::switched(Instant at) {
    if (begun_ && step_ != DrawStep::done) step_ = static_cast<DrawStep>(static_cast<int>(step_) + 1);
    begun_ = true;
    switched_at_ = at;
}

std::optional<DutyCycle> DrawTest::cycle() const {
    const auto rest = correlated_mean(parts_[0].draw);
    if (!rest.mean.known()) return std::nullopt;
    return find_duty_cycle(parts_[1].draw, rest.mean, rest.spread.known() ? rest.spread : Ampere(0));
}

std::optional<std::size_t> DrawTest::whole_cycles() const {
    if (step_ == DrawStep::off_before) return std::nullopt;
    const auto found = cycle();
    if (!found) return std::nullopt;
    return found->whole_cycles();
}

// The draw is on - (before + after) / 2; with three equal errors e its error is sqrt(1.5) e.
Ampere DrawTest::wanted_error() const { return settings_.wanted / (band90 * std::sqrt(1.5)); }

bool DrawTest::ready() const {
    if (step_ == DrawStep::done) return true;
    const Part& p = part();
    const Second counted = length(p);
    if (!begun_ || counted < settings_.least) return false;
    if (step_ == DrawStep::on) {
        const auto cycles = whole_cycles();
        if (cycles || settings_.cycles) return cycles.value_or(0) >= wanted_cycles || counted >= settings_.most_cycling;
    }
    if (counted >= settings_.most) return true;
    const auto mean = correlated_mean(p.draw);
    return mean.effective >= least_effective && mean.error <= wanted_error();
}

// Errors shrink with the root of time.
Second DrawTest::wait() const {
    if (step_ == DrawStep::done) return Second(0);
    const Part& p = part();
    const Second counted = length(p);
    const Second rest_of_least = std::max(settings_.least - counted, Second(0));
    const auto mean = correlated_mean(p.draw);
    if (!begun_ || !mean.error.known()) return Second::missing();
    if (step_ == DrawStep::on) {
        const auto found = cycle();
        const std::size_t whole = found ? found->whole_cycles() : 0;
        if (found && whole >= wanted_cycles) return rest_of_least;
        if ((found || settings_.cycles) && whole == 0) return Second::missing();
        if (found)
            return counted *
                   (static_cast<double>(found->starts[1] - found->starts[0]) / static_cast<double>(p.draw.size()));
    }
    const double times = std::pow(mean.error / wanted_error(), 2);
    const double for_effective = mean.effective > 0.0 ? least_effective / mean.effective : 1.0;
    const Second whole = counted * std::max({times, for_effective, 1.0});
    return std::max(std::min(whole, settings_.most) - counted, rest_of_least);
}

DrawResult DrawTest::result() const {
    DrawResult r;
    const auto before = correlated_mean(parts_[0].draw);
    auto on = correlated_mean(parts_[1].draw);
    const auto after = correlated_mean(parts_[2].draw);
    if (!before.mean.known() || !on.mean.known()) return r;
    r.rest_before = before.mean;
    r.rest_after = after.mean;
    r.cycle = cycle();
    if (r.cycle && r.cycle->whole_cycles() > 0) on = over_cycles(parts_[1].draw, *r.cycle);
    r.too_few_cycles = (r.cycle || settings_.cycles) && (!r.cycle || r.cycle->whole_cycles() < wanted_cycles);

    const bool both = after.mean.known();
    const Ampere rest = both ? (before.mean + after.mean) / 2.0 : before.mean;
    // What drifted meanwhile did so at an unknown moment: evenly spread between the two.
    const Ampere drift = both ? after.mean - before.mean : Ampere(0);
    const MeanError drifted{Ampere(std::abs(drift.value()) / std::sqrt(12.0)), DegreesOfFreedom(2)};
    const std::array parts{error_of(on, 1.0), error_of(before, both ? 0.5 : 1.0),
                           both ? error_of(after, 0.5) : MeanError{}, drifted};
    const MeanError error = together(parts);
    const Ampere half = error.error * student_quantile(band90, error.freedom);
    r.draw = {on.mean - rest, half / band90};
    r.rest_changed = both && std::abs(drift.value()) > 3.0 * std::hypot(before.error.value(), after.error.value()) &&
                     std::abs(drift.value()) > 0.1 * std::abs(r.draw.mean.value());
    r.voltage = sample_mean<Volt>(parts_[1].voltage);
    r.power = {r.voltage * r.draw.mean, r.voltage * r.draw.sd};
    r.below_resolution = r.draw.mean < std::max(half, settings_.resolution);
    r.at_most = std::max(std::max(r.draw.mean, Ampere(0)) + half, settings_.resolution);
    return r;
}

}  // namespace amphora
