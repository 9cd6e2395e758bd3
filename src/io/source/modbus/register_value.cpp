#include "io/source/modbus/register_value.hpp"

#include <bit>
#include <cmath>

namespace amphora::modbus {
namespace {

constexpr Word swapped(Word w) { return static_cast<Word>((w << 8U) | (w >> 8U)); }

double number(std::uint32_t bits, RegisterType type) {
    switch (type) {
        case RegisterType::u16:
        case RegisterType::u32:
            return bits;
        case RegisterType::s16:
            return std::bit_cast<std::int16_t>(static_cast<std::uint16_t>(bits));
        case RegisterType::s32:
            return std::bit_cast<std::int32_t>(bits);
        case RegisterType::f32:
            return static_cast<double>(std::bit_cast<float>(bits));
    }
    return 0.0;
}

}  // namespace

std::uint32_t bits_in(std::span<const Word> words, RegisterType type, WordOrder order) {
    const bool swap = order == WordOrder::badc || order == WordOrder::dcba;
    const auto word = [&](std::size_t i) { return std::uint32_t{swap ? swapped(words[i]) : words[i]}; };
    if (words_in(type) == 1) return word(0);
    const bool low_first = order == WordOrder::cdab || order == WordOrder::dcba;
    return low_first ? word(1) << 16U | word(0) : word(0) << 16U | word(1);
}

std::optional<double> number_in(std::span<const Word> words, const described::Register& how) {
    if (words.size() < words_in(how.type)) return std::nullopt;
    const auto bits = bits_in(words, how.type, how.order);
    if (how.no_value == std::int64_t{bits}) return std::nullopt;
    const double value = number(bits, how.type);
    if (!std::isfinite(value)) return std::nullopt;
    return value;
}

}  // namespace amphora::modbus
