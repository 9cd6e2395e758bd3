// RFC 3720 (iSCSI), appendix B.4 "CRC Examples".
#include <gtest/gtest.h>

#include <numeric>
#include <vector>

#include "core/ledger/crc32c.hpp"

namespace amphora::ledger {
namespace {

TEST(Rfc3720, ChecksumExamples) {
    std::vector<std::uint8_t> bytes(32, 0x00);
    EXPECT_EQ(crc32c(bytes), 0x8A9136AAU);
    bytes.assign(32, 0xFF);
    EXPECT_EQ(crc32c(bytes), 0x62A8AB43U);
    std::iota(bytes.begin(), bytes.end(), std::uint8_t{0});
    EXPECT_EQ(crc32c(bytes), 0x46DD794EU);
    std::iota(bytes.rbegin(), bytes.rend(), std::uint8_t{0});
    EXPECT_EQ(crc32c(bytes), 0x113FDB5CU);
}

}  // namespace
}  // namespace amphora::ledger
