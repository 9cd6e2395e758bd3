#include "core/meter/correlated_mean.hpp"

#include <algorithm>
#include <cmath>

#include "core/quantity/sample.hpp"

namespace amphora {
namespace {

/// Autocovariance at a lag, divided by the number of readings (so that the sequence is positive definite).
double autocovariance(std::span<const Ampere> readings, Ampere mean, std::size_t lag) {
    double sum = 0.0;
    for (std::size_t i = lag; i < readings.size(); ++i)
        sum += (readings[i] - mean).value() * (readings[i - lag] - mean).value();
    return sum / static_cast<double>(readings.size());
}

}  // namespace

CorrelatedMean correlated_mean(std::span<const Ampere> readings) {
    constexpr std::size_t least = 4;
    const auto plain = sample_statistics(readings);
    CorrelatedMean result{.mean = plain.mean, .spread = plain.sd};
    if (readings.size() < least) return result;
    const auto n = static_cast<double>(readings.size());
    const double variance = autocovariance(readings, plain.mean, 0);
    if (variance <= 0.0) {
        result.error = Ampere(0.0);
        result.effective = n;
        return result;
    }
    double sum = -variance;
    for (std::size_t lag = 0; lag + 1 < readings.size() / 2; lag += 2) {
        const double pair = autocovariance(readings, plain.mean, lag) + autocovariance(readings, plain.mean, lag + 1);
        if (pair <= 0.0) break;
        sum += 2.0 * pair;
    }
    const double times = std::clamp(sum / variance, 1.0, n / 2.0);
    result.effective = n / times;
    // The mean took a part of the spread with it: as with independent readings, one of them.
    result.error = Ampere(std::sqrt(variance / (result.effective - std::min(1.0, result.effective / 2.0))));
    return result;
}

MeanError together(std::span<const MeanError> parts) {
    double variance = 0.0;
    double fourth = 0.0;
    for (const MeanError& part : parts) {
        const double v = part.error.value() * part.error.value();
        variance += v;
        if (v > 0.0) fourth += v * v / std::max(part.freedom.value(), 1.0);
    }
    constexpr double many = 1e6;
    return {Ampere(std::sqrt(variance)),
            DegreesOfFreedom(fourth > 0.0 ? std::min(variance * variance / fourth, many) : many)};
}

}  // namespace amphora
