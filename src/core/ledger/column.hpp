// A column of whole numbers, packed: predicted, and the residuals entropy-coded by a table of their own frequencies.
#pragma once

#include <cstdint>
#include <span>

#include "core/ledger/bytes.hpp"
#include "core/ledger/running_mean.hpp"

namespace amphora::ledger {

/// Appends the packed values; the count is not written. Any int64 values round-trip.
void encode_column(ByteWriter& out, std::span<const std::int64_t> values);

/// Fills `values` with what encode_column packed from as many. False when the bytes are not sound; never reads past
/// them.
[[nodiscard]] bool decode_column(ByteReader& in, std::span<std::int64_t> values);

}  // namespace amphora::ledger
