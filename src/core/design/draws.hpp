// The chance in a simulated year: a counter turned into normal deviates, so that any day of any draw can be had without
// walking there and the result does not depend on threads.
#pragma once

#include <array>
#include <cstdint>

namespace amphora::design {

/// splitmix64 (Steele, Lea and Flood 2014) of a counter: 64 well mixed bits.
constexpr std::uint64_t mixed(std::uint64_t x) {
    x += 0x9e3779b97f4a7c15ULL;
    x = (x ^ (x >> 30U)) * 0xbf58476d1ce4e5b9ULL;
    x = (x ^ (x >> 27U)) * 0x94d049bb133111ebULL;
    return x ^ (x >> 31U);
}

/// Standard normal deviates at the middles of 4096 shares: mean 0, sd 1, within 3.7.
class NormalTable {
public:
    static constexpr unsigned bits = 12;
    NormalTable();
    [[nodiscard]] float at(std::uint64_t random) const { return values_[random & ((1U << bits) - 1U)]; }

private:
    std::array<float, 1U << bits> values_{};
};

/// The one table, made at first use.
[[nodiscard]] const NormalTable& normal_table();

}  // namespace amphora::design
