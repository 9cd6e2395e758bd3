#include "core/ledger/crc32c.hpp"

#include <array>
#include <cstddef>

namespace amphora::ledger {
namespace {

using Table = std::array<std::array<std::uint32_t, 256>, 8>;

/// Eight tables: eight bytes are taken at a time (Kounavis and Berry, "slicing-by-8", 2005).
constexpr Table make_tables() {
    Table t{};
    for (std::uint32_t n = 0; n < 256; ++n) {
        std::uint32_t c = n;
        for (int k = 0; k < 8; ++k) c = (c & 1U) != 0 ? 0x82F63B78U ^ (c >> 1U) : c >> 1U;
        t[0][n] = c;
    }
    for (std::size_t s = 1; s < 8; ++s)
        for (std::size_t n = 0; n < 256; ++n) t[s][n] = t[0][t[s - 1][n] & 0xFFU] ^ (t[s - 1][n] >> 8U);
    return t;
}
constexpr Table tables = make_tables();

}  // namespace

std::uint32_t crc32c(std::span<const std::uint8_t> bytes) {
    std::uint32_t crc = 0xFFFFFFFFU;
    std::size_t i = 0;
    for (; i + 8 <= bytes.size(); i += 8) {
        std::uint32_t low = crc;
        for (unsigned k = 0; k < 4; ++k) low ^= static_cast<std::uint32_t>(bytes[i + k]) << (8U * k);
        crc = tables[7][low & 0xFFU] ^ tables[6][(low >> 8U) & 0xFFU] ^ tables[5][(low >> 16U) & 0xFFU] ^
              tables[4][low >> 24U] ^ tables[3][bytes[i + 4]] ^ tables[2][bytes[i + 5]] ^ tables[1][bytes[i + 6]] ^
              tables[0][bytes[i + 7]];
    }
    for (; i < bytes.size(); ++i) crc = tables[0][(crc ^ bytes[i]) & 0xFFU] ^ (crc >> 8U);
    return ~crc;
}

}  // namespace amphora::ledger
