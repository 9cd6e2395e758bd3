#include "io/text/figure.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "core/estimate/estimate.hpp"

namespace amphora::text {
namespace {

// The place of the last digit of a band that is kept: decimals after the point, 0 or more.
int decimals_for(double half) {
    const double exponent = std::floor(std::log10(half));
    const double first_digits = half / std::pow(10.0, exponent);
    const int kept = first_digits < 1.95 ? 1 : 0;  // digits after the first
    return std::clamp(kept - static_cast<int>(exponent), 0, 6);
}

}  // namespace

std::string with_band(double value, double sd, std::string_view unit) {
    const double half = sd * band90;
    if (!std::isfinite(half) || half <= 0.0) return fmt::format("{:.4g} {}", value, unit);
    const int decimals = decimals_for(half);
    if (std::abs(value) < 0.5 * std::pow(10.0, -decimals)) value = 0.0;  // no "-0"
    return fmt::format("{:.{}f} {} ± {:.{}f}", value, decimals, unit, half, decimals);
}

std::string at_most(double value, std::string_view unit) {
    if (!std::isfinite(value) || value <= 0.0) return fmt::format("at most {:.4g} {}", value, unit);
    const int decimals = decimals_for(value);
    const double step = std::pow(10.0, -decimals);
    return fmt::format("at most {:.{}f} {}", std::ceil(value / step - 1e-9) * step, decimals, unit);
}

std::string figure(Uncertain<Fraction> share) {
    const double mean = share.mean.value() * 100.0;
    const double half = share.sd.value() * 100.0 * band90;
    if (half >= 100.0 * hardly_known.value())
        return fmt::format("{:.0f} to {:.0f} %", std::max(mean - half, 0.0), std::min(mean + half, 100.0));
    return with_band(mean, share.sd.value() * 100.0, "%");
}

std::string count(std::uint64_t number) {
    const auto digits = fmt::format("{}", number);
    std::string grouped;
    for (std::size_t i = 0; i < digits.size(); ++i) {
        if (i > 0 && (digits.size() - i) % 3 == 0) grouped.push_back(' ');
        grouped.push_back(digits[i]);
    }
    return grouped;
}

std::string count_of(std::uint64_t number, std::string_view noun) {
    return fmt::format("{} {}{}", count(number), noun, number == 1 ? "" : "s");
}

std::string plain_count_of(std::uint64_t number, std::string_view noun) {
    return fmt::format("{} {}{}", number, noun, number == 1 ? "" : "s");
}

std::string duration(Second length) {
    const double s = length.value();
    if (s < 100.0) return fmt::format("{:.0f} s", s);
    if (s < 100.0 * 60) return fmt::format("{:.0f} min", s / 60);
    if (s < 48.0 * 3600) return fmt::format("{:.1f} h", s / 3600);
    if (s < 20.0 * 86'400) return fmt::format("{:.1f} days", s / 86'400);
    return fmt::format("{:.0f} days", s / 86'400);
}

}  // namespace amphora::text
