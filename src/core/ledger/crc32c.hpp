// CRC-32C (Castagnoli polynomial 0x1EDC6F41, reflected), as in RFC 3720 appendix B.4.
#pragma once

#include <cstdint>
#include <span>

namespace amphora::ledger {

/// The checksum of the bytes. Detects every single flipped bit and every burst of up to 32 bits.
[[nodiscard]] std::uint32_t crc32c(std::span<const std::uint8_t> bytes);

}  // namespace amphora::ledger
