// A residual as a symbol to be entropy-coded and bits that are written as they are. Small residuals are symbols of
// their own; large ones share a symbol per power of two, and their lower bits follow plainly.
#pragma once

#include <bit>
#include <cstdint>

#include "core/ledger/bytes.hpp"

namespace amphora::ledger {

constexpr unsigned direct_symbols = 128;
constexpr unsigned symbol_count = direct_symbols + 57;  // and one for each bit length from 8 to 64

struct Split {
    std::uint8_t symbol;
    std::uint8_t extra_bits;  // how many plain bits follow
    std::uint64_t extra;
};

constexpr Split split_residual(std::int64_t residual) {
    const std::uint64_t z = zigzag(residual);
    if (z < direct_symbols) return {static_cast<std::uint8_t>(z), 0, 0};
    const auto length = static_cast<unsigned>(std::bit_width(z));
    return {static_cast<std::uint8_t>(direct_symbols + length - 8), static_cast<std::uint8_t>(length - 1),
            z & ~(std::uint64_t{1} << (length - 1))};
}

/// Bits that follow a symbol at or above `direct_symbols`.
constexpr unsigned extra_bits_of(unsigned symbol) { return symbol - direct_symbols + 7; }

constexpr std::int64_t join_residual(unsigned symbol, std::uint64_t extra) {
    return unzigzag((std::uint64_t{1} << extra_bits_of(symbol)) | extra);
}

}  // namespace amphora::ledger
