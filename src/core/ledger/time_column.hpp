// The times of a block: a steady cadence with exceptions, or, where the clock jitters, the offset from that cadence.
#pragma once

#include <cstdint>
#include <span>

#include "core/ledger/bytes.hpp"

namespace amphora::ledger {

/// Appends the times (microseconds, any order); the count is not written.
void encode_times(ByteWriter& out, std::span<const std::int64_t> times_us);

/// Fills `times_us`; false when the bytes are not sound.
[[nodiscard]] bool decode_times(ByteReader& in, std::span<std::int64_t> times_us);

}  // namespace amphora::ledger
