#include "core/ledger/decimal.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <limits>
#include <numeric>

namespace amphora::ledger {
namespace {

constexpr std::array<double, most_decimals + 1> powers{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9};
constexpr double limit = 0x1p51;

/// Adding and taking away 1.5 * 2^52 rounds to the nearest whole number.
double nearest_whole(double v) {
    constexpr double shift = 0x1.8p52;
    return (v + shift) - shift;
}

bool fits(double value, double power) {
    const double n = nearest_whole(value * power);
    const bool small = std::abs(n) < limit;
    const bool same = std::bit_cast<std::uint64_t>(n / power) == std::bit_cast<std::uint64_t>(value);
    return small & same;
}

/// True when at most one finite value in 64 is not a whole number of 10^-decimals. Without branches inside a piece, so
/// that several values are looked at at once.
bool nearly_all_fit(std::span<const double> values, unsigned decimals) {
    constexpr std::size_t piece = 256;
    const double power = powers[decimals];
    const std::size_t most = values.size() / 64;
    std::size_t misfits = 0;
    for (; !values.empty() && misfits <= most; values = values.subspan(std::min(piece, values.size())))
        for (const double v : values.first(std::min(piece, values.size())))
            misfits += !fits(v, power) && std::isfinite(v) ? 1U : 0U;
    return misfits <= most;
}

}  // namespace

double power_of_ten(unsigned decimals) { return powers[decimals]; }

std::optional<std::int64_t> as_decimal(double value, unsigned decimals) {
    if (!fits(value, powers[decimals])) return std::nullopt;
    return static_cast<std::int64_t>(nearest_whole(value * powers[decimals]));
}

bool as_decimals(std::span<const double> values, unsigned decimals, std::span<std::int64_t> whole) {
    const double power = powers[decimals];
    bool all = true;
    for (std::size_t i = 0; i < values.size(); ++i) {
        const double n = nearest_whole(values[i] * power);
        all &= fits(values[i], power);
        whole[i] = static_cast<std::int64_t>(std::abs(n) < limit ? n : 0.0);
    }
    return all;
}

std::optional<unsigned> common_decimals(std::span<const double> values) {
    for (unsigned d = 0; d <= most_decimals; ++d)
        if (nearly_all_fit(values, d)) return d;
    return std::nullopt;
}

std::int64_t common_step(std::span<const std::int64_t> values) {
    std::int64_t step = 0;
    for (std::size_t i = 1; i < values.size() && step != 1; ++i) step = std::gcd(step, values[i] - values[0]);
    return step == 0 ? 1 : step;
}

}  // namespace amphora::ledger
