// How few bytes the values of a signal could take: bounds to hold a format to.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <map>
#include <vector>

#include "bench/record_signal.hpp"

namespace amphora::bench {

/// Takes the signal step by step and tells bytes per reading. Values only; times are taken to cost nothing.
class EntropyBounds {
public:
    explicit EntropyBounds(const MeterNoise& noise) : noise_(noise) {}
    void push(const SignalStep& step);

    /// What one must pay who knows the level beneath the noise (Shannon 1948: the entropy of the noise as the meter
    /// rounds it). No lossless format can do better on average.
    [[nodiscard]] double all_knowing() const;
    /// The best, for each quantity, of what simple models would pay that know their own frequencies for nothing: first
    /// difference, residual to the mean of the last 8, and the better of the two anew each hour.
    [[nodiscard]] double simple_models() const;

private:
    static constexpr std::size_t hour = 3600;
    static constexpr std::size_t sampled = 16;  // the noise's entropy is taken at every 16th step

    struct Count {
        std::map<std::int64_t, std::uint64_t> of;
        std::uint64_t all = 0;
        void add(std::int64_t v);
        [[nodiscard]] double bits() const;
    };
    struct Quantity {
        std::array<std::int64_t, 8> last{};
        std::int64_t sum = 0;
        Count difference, residual, difference_now, residual_now;
        double hourly_bits = 0.0;
    };
    void end_hour();

    MeterNoise noise_;
    std::array<Quantity, 3> quantities_;
    double noise_bits_ = 0.0;
    std::size_t steps_ = 0;
    std::size_t sampled_steps_ = 0;
};

}  // namespace amphora::bench
