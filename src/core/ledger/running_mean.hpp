// What the next value of a column will be: the mean of the last few, started afresh after a step (a compressor that
// starts, a lamp that goes out). With a length of one it is the value before. All in integers, so that every machine
// agrees.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

namespace amphora::ledger {

/// How a column is predicted; chosen per block and column, and written into the block.
struct MeanSettings {
    unsigned length = 1;        // values averaged at most: a power of two, 1..max_length
    std::uint32_t restart = 0;  // a residual beyond this many quarters of a step starts the mean afresh
    unsigned contexts = 1;  // 1, or 4: the quarter of a step in which the mean lies selects the table of frequencies
    static constexpr unsigned max_length = 256;
};

/// Values for which the arithmetic below cannot overflow.
constexpr std::int64_t mean_value_limit = std::int64_t{1} << 29U;

class RunningMean {
public:
    RunningMean(std::int64_t first, const MeanSettings& s)
        : mean_((first << fraction_bits) + (s.contexts == 1 ? half : 0)),
          bias_(s.contexts == 1 ? half : 0),
          restart_(static_cast<std::int64_t>(s.restart) << (fraction_bits - 2)),
          length_(s.length),
          mask_(s.contexts - 1) {}

    /// The whole number predicted: the nearest with one context, the one at or below with four.
    [[nodiscard]] std::int64_t floor() const { return mean_ >> fraction_bits; }
    /// Which table of frequencies applies.
    [[nodiscard]] unsigned context() const { return static_cast<unsigned>(mean_ >> (fraction_bits - 2)) & mask_; }

    /// Takes the true value. Beyond mean_value_limit (only in damaged bytes) the arithmetic wraps around.
    void learn(std::int64_t value) {
        const auto off =
            static_cast<std::int64_t>((static_cast<std::uint64_t>(value) << fraction_bits) +
                                      static_cast<std::uint64_t>(bias_) - static_cast<std::uint64_t>(mean_));
        const bool stepped = off > restart_ || off < -restart_;
        const unsigned grown = count_ + static_cast<unsigned>(count_ < length_);
        count_ = stepped ? 1 : grown;
        const std::uint64_t product = static_cast<std::uint64_t>(off) * reciprocal[count_];
        const std::int64_t change = static_cast<std::int64_t>(product) >> fraction_bits;
        mean_ = static_cast<std::int64_t>(static_cast<std::uint64_t>(mean_) + static_cast<std::uint64_t>(change));
    }

private:
    static constexpr unsigned fraction_bits = 16;
    static constexpr std::int64_t half = std::int64_t{1} << (fraction_bits - 1);
    static constexpr std::array<std::uint32_t, MeanSettings::max_length + 1> reciprocal = [] {
        std::array<std::uint32_t, MeanSettings::max_length + 1> r{};
        for (std::uint32_t n = 1; n < r.size(); ++n) r[n] = (1U << fraction_bits) / n;
        return r;
    }();

    std::int64_t mean_;
    std::int64_t bias_;
    std::int64_t restart_;
    unsigned count_ = 1;
    unsigned length_;
    unsigned mask_;
};

}  // namespace amphora::ledger
