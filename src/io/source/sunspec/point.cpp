#include "io/source/sunspec/point.hpp"

#include <bit>
#include <cmath>

namespace amphora::sunspec {
namespace {

// Negative powers of ten have no exact double: dividing by the positive one rounds once, multiplying twice.
template <class T>
std::optional<double> scaled(std::optional<T> raw, std::optional<int> factor) {
    if (!raw || !factor) return std::nullopt;
    const double power = std::pow(10.0, std::abs(*factor));
    return *factor < 0 ? *raw / power : *raw * power;
}

}  // namespace

std::optional<std::uint16_t> Points::unsigned16(std::size_t at) const {
    if (at >= words_.size() || words_[at] == 0xFFFF) return std::nullopt;
    return words_[at];
}

std::optional<std::int16_t> Points::signed16(std::size_t at) const {
    if (at >= words_.size() || words_[at] == 0x8000) return std::nullopt;
    return std::bit_cast<std::int16_t>(words_[at]);
}

std::optional<std::uint32_t> Points::unsigned32(std::size_t at) const {
    if (words_.size() < 2 || at > words_.size() - 2) return std::nullopt;
    const auto bits = modbus::bits_in(words_.subspan(at, 2), modbus::RegisterType::u32, modbus::WordOrder::abcd);
    if (bits == 0xFFFF'FFFF) return std::nullopt;
    return bits;
}

std::optional<int> Points::scale_factor(std::size_t at) const {
    const auto exponent = signed16(at);
    if (!exponent || *exponent < -10 || *exponent > 10) return std::nullopt;
    return *exponent;
}

std::optional<double> Points::scaled_unsigned(std::size_t at, std::size_t factor_at) const {
    return scaled(unsigned16(at), scale_factor(factor_at));
}

std::optional<double> Points::scaled_signed(std::size_t at, std::size_t factor_at) const {
    return scaled(signed16(at), scale_factor(factor_at));
}

}  // namespace amphora::sunspec
