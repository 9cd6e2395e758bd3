#include "io/source/rvc/fields.hpp"

namespace amphora::rvc {
namespace {

constexpr std::uint16_t last_of_scale = 0xFAFA;
constexpr int no_current = 0x7D00;
constexpr double no_fine_current = 2'000'000'000.0;

// The three codes at the top of a range are no values.
template <class T>
std::optional<T> unless_special(T raw) {
    if (raw > static_cast<T>(-4)) return std::nullopt;
    return raw;
}

}  // namespace

std::optional<std::uint8_t> Fields::bits(std::size_t at, unsigned first, unsigned count) const {
    if (at >= data_.size()) return std::nullopt;
    const unsigned ones = (1U << count) - 1U;
    const unsigned value = (static_cast<unsigned>(data_[at]) >> first) & ones;
    if (value == ones || (count > 2 && value == ones - 1U)) return std::nullopt;
    return static_cast<std::uint8_t>(value);
}

std::optional<std::uint8_t> Fields::byte(std::size_t at) const {
    if (at >= data_.size()) return std::nullopt;
    return unless_special(data_[at]);
}

std::optional<std::uint16_t> Fields::word(std::size_t at) const {
    if (at + 2 > data_.size()) return std::nullopt;
    return unless_special(static_cast<std::uint16_t>(data_[at] | data_[at + 1] << 8U));
}

std::optional<std::uint32_t> Fields::long_word(std::size_t at) const {
    if (at + 4 > data_.size()) return std::nullopt;
    std::uint32_t raw = 0;
    for (std::size_t i = 4; i > 0; --i) raw = raw << 8U | data_[at + i - 1];
    return unless_special(raw);
}

Volt Fields::voltage(std::size_t at) const {
    const auto raw = word(at);
    return raw && *raw <= last_of_scale ? Volt(*raw / 20.0) : Volt::missing();
}

Volt Fields::fine_voltage(std::size_t at) const {
    const auto raw = long_word(at);
    return raw ? Volt(*raw / 1000.0) : Volt::missing();
}

Ampere Fields::current(std::size_t at) const {
    const auto raw = word(at);
    return raw && *raw <= last_of_scale ? Ampere((*raw - no_current) / 20.0) : Ampere::missing();
}

Ampere Fields::fine_current(std::size_t at) const {
    const auto raw = long_word(at);
    return raw ? Ampere((*raw - no_fine_current) / 1000.0) : Ampere::missing();
}

Fraction Fields::share(std::size_t at) const {
    const auto raw = byte(at);
    return raw && *raw <= 250 ? Fraction(*raw / 200.0) : Fraction::missing();
}

Celsius Fields::temperature(std::size_t at) const {
    const auto raw = byte(at);
    return raw && *raw <= 250 ? Celsius(*raw - 40.0) : Celsius::missing();
}

Celsius Fields::fine_temperature(std::size_t at) const {
    const auto raw = word(at);
    return raw ? Celsius(*raw / 32.0 - 273.0) : Celsius::missing();
}

}  // namespace amphora::rvc
