#include "io/access/pairing_code.hpp"

#include <gtest/gtest.h>

#include <algorithm>

namespace amphora::access {
namespace {

const std::string link = "http://192.168.8.1:8765/#/pair?token=0123456789abcdefghijkl";

/// Whether a finder pattern of ISO/IEC 18004 begins there: a ring, a light ring, and three by three in the middle.
bool finder(const PairingCode& code, int left, int top) {
    for (int y = 0; y < 7; ++y)
        for (int x = 0; x < 7; ++x) {
            const int ring = std::max(std::abs(x - 3), std::abs(y - 3));
            if (code.dark(left + x, top + y) != (ring != 2)) return false;
        }
    return true;
}

TEST(PairingCode, HasTheFormOfTheStandard) {
    const auto code = PairingCode::of(link).value();
    EXPECT_EQ((code.size() - 17) % 4, 0);
    EXPECT_TRUE(finder(code, 0, 0));
    EXPECT_TRUE(finder(code, code.size() - 7, 0));
    EXPECT_TRUE(finder(code, 0, code.size() - 7));
    EXPECT_FALSE(code.dark(-1, 0));
    EXPECT_FALSE(code.dark(0, code.size()));
    EXPECT_FALSE(PairingCode::of(std::string(5000, 'a')));
}

/// What is drawn at a place of the terminal: 0 to 3, the upper half being 1 and the lower 2.
int halves(const std::string& line, int column) {
    std::size_t at = 0;
    for (int i = 0; i < column; ++i) at += line[at] == ' ' ? 1 : 3;
    if (line[at] == ' ') return 0;
    const std::string glyph = line.substr(at, 3);
    return glyph == "\u2580" ? 1 : glyph == "\u2584" ? 2 : 3;
}

TEST(PairingCode, IsDrawnInHalfBlocksWithItsQuietZone) {
    const auto code = PairingCode::of(link).value();
    const std::string text = half_blocks(code, false);
    int row = -quiet_zone;
    for (std::size_t at = 0; at < text.size(); row += 2) {
        const std::size_t end = text.find('\n', at);
        const std::string line = text.substr(at, end - at);
        for (int column = -quiet_zone; column < code.size() + quiet_zone; ++column) {
            const int light = (code.dark(column, row) ? 0 : 1) + (code.dark(column, row + 1) ? 0 : 2);
            ASSERT_EQ(halves(line, column + quiet_zone), light) << column << " " << row;
        }
        at = end + 1;
    }
    EXPECT_GE(row, code.size() + quiet_zone);
    EXPECT_TRUE(half_blocks(code, true).starts_with("\x1b[30;107m"));
}

TEST(PairingCode, IsAPathOfItsDarkModules) {
    const auto code = PairingCode::of(link).value();
    const std::string path = svg_path(code);
    EXPECT_TRUE(path.starts_with("M0 0h7v1h-7z"));
    EXPECT_EQ(path.find_first_not_of("Mhvz-0123456789 "), std::string::npos);
}

}  // namespace
}  // namespace amphora::access
