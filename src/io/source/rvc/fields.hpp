// The number formats of RV-C: least significant byte first, the top of each range kept for "no data" and "error".
//
// Source: RV-C full layer, 3.2.3 (special values) and table 5.3 (formats), known from texts that quote them. FFFFh is
// "data not available", FFFEh "error or out of range"; FFFDh is reserved (from memory). 16-bit voltages and currents
// end at FAFAh.
#pragma once

#include <cstdint>
#include <optional>
#include <span>

#include "core/quantity/quantity.hpp"

namespace amphora::rvc {

/// The bytes of a message's data by their place, from 0. A value that the sender marks as not available, in error or
/// reserved, and one that lies beyond the data, is nothing or missing().
class Fields {
public:
    explicit Fields(std::span<const std::uint8_t> data) : data_(data) {}

    /// `count` bits of the byte, from bit `first` (0 is the least significant); all ones is nothing, and of more than
    /// two bits the code below too.
    [[nodiscard]] std::optional<std::uint8_t> bits(std::size_t at, unsigned first, unsigned count) const;
    [[nodiscard]] std::optional<std::uint8_t> byte(std::size_t at) const;
    [[nodiscard]] std::optional<std::uint16_t> word(std::size_t at) const;
    [[nodiscard]] std::optional<std::uint32_t> long_word(std::size_t at) const;

    [[nodiscard]] Volt voltage(std::size_t at) const;              // 16 bits of 0.05 V
    [[nodiscard]] Volt fine_voltage(std::size_t at) const;         // 32 bits of 1 mV
    [[nodiscard]] Ampere current(std::size_t at) const;            // 16 bits of 0.05 A, 7D00h is 0 A
    [[nodiscard]] Ampere fine_current(std::size_t at) const;       // 32 bits of 1 mA, 77359400h is 0 A
    [[nodiscard]] Fraction share(std::size_t at) const;            // 8 bits of 0.5 %, up to 125 %
    [[nodiscard]] Celsius temperature(std::size_t at) const;       // 8 bits of 1 C, 0 is -40 C
    [[nodiscard]] Celsius fine_temperature(std::size_t at) const;  // 16 bits of 1/32 C, 0 is -273 C

private:
    std::span<const std::uint8_t> data_;
};

}  // namespace amphora::rvc
