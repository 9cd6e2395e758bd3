// The twin's source of chance: xoshiro256++ 1.0 (D. Blackman, S. Vigna, "Scrambled Linear Pseudorandom Number
// Generators", ACM TOMS 47, 2021), seeded by SplitMix64. The standard library's distributions differ between
// implementations; these do not, so a seed means the same van everywhere.
#pragma once

#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <numbers>

namespace amphora::twin {

class Random {
public:
    explicit Random(std::uint64_t seed) {
        for (auto& word : state_) {
            seed += 0x9e3779b97f4a7c15ULL;
            std::uint64_t mixed = (seed ^ (seed >> 30)) * 0xbf58476d1ce4e5b9ULL;
            mixed = (mixed ^ (mixed >> 27)) * 0x94d049bb133111ebULL;
            word = mixed ^ (mixed >> 31);
        }
    }

    /// 64 random bits.
    std::uint64_t bits() {
        const std::uint64_t result = std::rotl(state_[0] + state_[3], 23) + state_[0];
        const std::uint64_t shifted = state_[1] << 17;
        state_[2] ^= state_[0];
        state_[3] ^= state_[1];
        state_[1] ^= state_[2];
        state_[0] ^= state_[3];
        state_[2] ^= shifted;
        state_[3] = std::rotl(state_[3], 45);
        return result;
    }

    /// A source of its own, so that drawing more in one place moves nothing elsewhere.
    Random branch() { return Random(bits()); }

    /// Evenly spread in [0, 1).
    double even() { return static_cast<double>(bits() >> 11) * 0x1.0p-53; }
    /// Evenly spread in [low, high).
    double even(double low, double high) { return low + (high - low) * even(); }
    /// Evenly spread in the logarithm, in [low, high), both positive.
    double even_log(double low, double high) { return low * std::pow(high / low, even()); }
    bool chance(double probability) { return even() < probability; }
    /// A whole number from 0 to count - 1.
    int pick(int count) { return static_cast<int>(even() * count); }

    /// Standard normal (Marsaglia's polar method).
    double normal() {
        double x = 0, y = 0, s = 0;
        do {
            x = even(-1, 1);
            y = even(-1, 1);
            s = x * x + y * y;
        } while (s >= 1 || s == 0);
        return x * std::sqrt(-2 * std::log(s) / s);
    }

    /// Nearly normal, mean 0, sd 1, within +-3.47: the sum of four even 16-bit numbers. For noise at every step.
    double grain() {
        const std::uint64_t b = bits();
        const auto sum = static_cast<double>((b & 0xffff) + ((b >> 16) & 0xffff) + ((b >> 32) & 0xffff) + (b >> 48));
        return (sum - 2 * 65535.0) * (std::numbers::sqrt3 / 65535.0);
    }

    /// Exponentially distributed with this mean.
    double waiting(double mean) { return -mean * std::log(1 - even()); }

private:
    std::array<std::uint64_t, 4> state_{};
};

}  // namespace amphora::twin
