// One quantity of a block (current, voltage or temperature): whole multiples of the meter's step where there is one,
// the bits of the doubles where there is none, and the values that fit neither (missing ones among them) listed as
// exceptions.
#pragma once

#include <span>

#include "core/ledger/bytes.hpp"

namespace amphora::ledger {

/// Appends the values; the count is not written. Any doubles, NaN and infinities included, round-trip bit for bit.
void encode_quantity(ByteWriter& out, std::span<const double> values);

/// Fills `values`; false when the bytes are not sound.
[[nodiscard]] bool decode_quantity(ByteReader& in, std::span<double> values);

}  // namespace amphora::ledger
