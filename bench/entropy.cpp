#include "bench/entropy.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace amphora::bench {
namespace {

/// Entropy, in bits, of a Gaussian around `level` rounded to whole steps.
double rounded_gauss_bits(double level, double sigma) {
    const auto below = [&](double x) { return 0.5 * std::erfc((level - x) / (sigma * std::numbers::sqrt2)); };
    const auto first = static_cast<long>(std::lround(level - 7.0 * sigma)) - 2;
    const auto last = static_cast<long>(std::lround(level + 7.0 * sigma)) + 2;
    double bits = 0.0;
    for (long k = first; k <= last; ++k) {
        const double p = below(static_cast<double>(k) + 0.5) - below(static_cast<double>(k) - 0.5);
        if (p > 1e-15) bits -= p * std::log2(p);
    }
    return bits;
}

}  // namespace

void EntropyBounds::Count::add(std::int64_t v) {
    ++of[v];
    ++all;
}

double EntropyBounds::Count::bits() const {
    double sum = 0.0;
    for (const auto& [value, count] : of)
        sum -= static_cast<double>(count) * std::log2(static_cast<double>(count) / static_cast<double>(all));
    return sum;
}

void EntropyBounds::push(const SignalStep& step) {
    const double sigmas[] = {noise_.current, noise_.voltage, noise_.temperature};
    for (std::size_t q = 0; q < 3; ++q) {
        Quantity& x = quantities_[q];
        const std::int64_t v = step.value[q];
        if (steps_ == 0) {
            x.last.fill(v);
            x.sum = 8 * v;
        }
        const std::int64_t difference = v - x.last[(steps_ + 7) % 8];
        const std::int64_t residual = v - static_cast<std::int64_t>(std::llround(static_cast<double>(x.sum) / 8.0));
        x.difference.add(difference);
        x.difference_now.add(difference);
        x.residual.add(residual);
        x.residual_now.add(residual);
        x.sum += v - x.last[steps_ % 8];
        x.last[steps_ % 8] = v;
        if (steps_ % sampled == 0) noise_bits_ += rounded_gauss_bits(step.level[q], sigmas[q]);
    }
    if (steps_ % sampled == 0) ++sampled_steps_;
    if (++steps_ % hour == 0) end_hour();
}

void EntropyBounds::end_hour() {
    for (Quantity& x : quantities_) {
        x.hourly_bits += std::min(x.difference_now.bits(), x.residual_now.bits());
        x.difference_now = {};
        x.residual_now = {};
    }
}

double EntropyBounds::all_knowing() const { return noise_bits_ / static_cast<double>(sampled_steps_) / 8.0; }

double EntropyBounds::simple_models() const {
    double bits = 0.0;
    for (const Quantity& x : quantities_) {
        const double hourly = x.hourly_bits + std::min(x.difference_now.bits(), x.residual_now.bits());
        bits += std::min({x.difference.bits(), x.residual.bits(), hourly});
    }
    return bits / static_cast<double>(steps_) / 8.0;
}

}  // namespace amphora::bench
