// How often each symbol occurs, as shares of a power of two: the table that an entropy coder works from.
#pragma once

#include <array>
#include <cstdint>

#include "core/ledger/bytes.hpp"
#include "core/ledger/symbol.hpp"

namespace amphora::ledger {

using Counts = std::array<std::uint32_t, symbol_count>;

/// Shares out of 2^bits; a symbol that occurs has at least one. All zero when nothing occurred.
struct Frequencies {
    std::array<std::uint16_t, symbol_count> share{};
};

/// Scales counts so that they add up to exactly 2^bits. Needs fewer different symbols than 2^bits.
[[nodiscard]] Frequencies normalise(const Counts& counts, unsigned bits);

/// Bits that the counted symbols take when coded by their own shares, by Shannon's formula.
[[nodiscard]] double shannon_bits(const Counts& counts);

/// Written as pairs (symbols skipped, share); the last share is implied by the sum.
void write_frequencies(ByteWriter& out, const Frequencies& f);
[[nodiscard]] Frequencies read_frequencies(ByteReader& in, unsigned bits);

}  // namespace amphora::ledger
