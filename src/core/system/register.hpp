// How a value stands in the registers of a Modbus device, as the description says it.
#pragma once

#include <cstdint>

namespace amphora::described {

/// The two kinds of register that are read in words; the numbers are the protocol's function codes.
enum class RegisterBank : std::uint8_t { holding = 3, input = 4 };

enum class RegisterType : std::uint8_t { u16, s16, u32, s32, f32 };

/// In which order the bytes of a value A B C D (A most significant) stand in its two words. The protocol does not say;
/// makers differ. For 16-bit types only whether the two bytes are swapped matters.
enum class WordOrder : std::uint8_t {
    abcd,  // high word first
    cdab,  // low word first
    badc,  // high word first, bytes swapped
    dcba   // low word first, bytes swapped
};

/// Where a channel's value is. `address` counts from 0, as on the wire, not as in lists that begin at 1, 30001 or
/// 40001.
struct Register {
    int address = -1;  // not given
    RegisterBank bank = RegisterBank::holding;
    RegisterType type = RegisterType::u16;
    WordOrder order = WordOrder::abcd;
    std::int64_t no_value = -1;  // the bits with which the device says "not measured"; -1: it has none
};

}  // namespace amphora::described
