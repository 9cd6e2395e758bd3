// The decimal reader against the C library's strtod, which rounds correctly.
#include <gtest/gtest.h>

#include <bit>
#include <cstdint>
#include <cstdlib>
#include <random>
#include <string>

#include "io/source/decimal.hpp"

namespace amphora::source {
namespace {

void expect_as_strtod(const std::string& text) {
    const auto number = read_decimal(text.data(), text.data() + text.size());
    ASSERT_EQ(number.fault, NumberFault::none) << text;
    ASSERT_EQ(number.end, text.data() + text.size()) << text;
    ASSERT_EQ(std::bit_cast<std::uint64_t>(number.value),
              std::bit_cast<std::uint64_t>(std::strtod(text.c_str(), nullptr)))
        << text;
}

std::string digits(std::mt19937_64& random, int count) {
    std::string text;
    for (int i = 0; i < count; ++i) text += static_cast<char>('0' + random() % 10);
    return text;
}

TEST(DecimalProperty, SameBitsAsStrtod) {
    std::mt19937_64 random(7);
    for (int round = 0; round < 300'000; ++round) {
        const int before = static_cast<int>(random() % 22);
        const int after = static_cast<int>(random() % (before == 0 ? 21 : 22)) + (before == 0 ? 1 : 0);
        std::string text = random() % 2 == 0 ? "-" : "";
        text += digits(random, before);
        if (after > 0) text.append(".").append(digits(random, after));
        if (random() % 4 == 0) text.append("e").append(std::to_string(static_cast<int>(random() % 401) - 200));
        expect_as_strtod(text);
    }
}

TEST(DecimalProperty, EveryReadingOfAMeter) {
    for (int hundredths = -60'000; hundredths <= 60'000; ++hundredths) {
        char text[32];
        std::snprintf(text, sizeof text, "%.2f", hundredths / 100.0);
        expect_as_strtod(text);
        std::snprintf(text, sizeof text, "%.3f", hundredths / 1000.0);
        expect_as_strtod(text);
    }
}

}  // namespace
}  // namespace amphora::source
