// Numbers out of Modbus registers: one or two 16-bit words into an integer or a float, in any of the orders that
// devices use. Assembled here by shifts, because the library's own float functions do not round-trip on all machines.
#pragma once

#include <cstdint>
#include <optional>
#include <span>

#include "core/system/register.hpp"

namespace amphora::modbus {

/// A register as it comes over the wire: 16 bits, most significant byte first (Modbus application protocol
/// V1.1b3, 4.2).
using Word = std::uint16_t;

using described::RegisterType;
using described::WordOrder;

/// How many words a value of this type takes: 1 or 2.
[[nodiscard]] constexpr std::size_t words_in(RegisterType type) {
    return type == RegisterType::u16 || type == RegisterType::s16 ? 1 : 2;
}

/// The bits of a value, put in order: of a 16-bit type in the low half. `words` must hold words_in(type).
[[nodiscard]] std::uint32_t bits_in(std::span<const Word> words, RegisterType type, WordOrder order);

/// The number that stands in the words, not yet scaled. Nothing where the device says that it has none: the bits of
/// `no_value`, or a float that is not finite; and nothing if `words` are too few.
[[nodiscard]] std::optional<double> number_in(std::span<const Word> words, const described::Register& how);

}  // namespace amphora::modbus
