#include "io/source/decimal.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <string_view>

namespace amphora::source {
namespace {

DecimalRead read_all(std::string_view text) { return read_decimal(text.data(), text.data() + text.size()); }

void expect_value(std::string_view text, double value) {
    const auto number = read_all(text);
    EXPECT_EQ(number.fault, NumberFault::none) << text;
    EXPECT_EQ(number.value, value) << text;
    EXPECT_EQ(number.end, text.data() + text.size()) << text;
}

TEST(Decimal, PlainNumbers) {
    expect_value("0", 0.0);
    expect_value("13.27", 13.27);
    expect_value("-12.34", -12.34);
    expect_value("+5.5", 5.5);
    expect_value(".5", 0.5);
    expect_value("5.", 5.0);
    expect_value("0.1", 0.1);
    expect_value("123456789012345", 123456789012345.0);
}

TEST(Decimal, KeepsTheSignOfZero) { EXPECT_TRUE(std::signbit(read_all("-0.0").value)); }

TEST(Decimal, LongNumbersAndExponents) {
    expect_value("1e3", 1000.0);
    expect_value("+1.5E-2", 0.015);
    expect_value("0.30000000000000004", 0.30000000000000004);
    expect_value("9007199254740993", 9007199254740992.0);  // 2^53 + 1: halfway, to even
    expect_value("00000000000000000000000000012.5", 12.5);
    expect_value("12345678901234567890", 12345678901234567890.0);
}

TEST(Decimal, StopsWhereTheNumberEnds) {
    const std::string_view text = "12.5,13";
    const auto number = read_all(text);
    EXPECT_EQ(number.value, 12.5);
    EXPECT_EQ(number.end, text.data() + 4);
}

TEST(Decimal, WhatIsNoNumber) {
    for (const auto* text : {"", "-", "+", ".", "-.", "abc", "inf", "-inf", "nan", "--5", "+-5", " 5", "e5", ".e5"})
        EXPECT_EQ(read_all(text).fault, NumberFault::malformed) << text;
}

TEST(Decimal, WhatNoDoubleHolds) {
    EXPECT_EQ(read_all("1e999").fault, NumberFault::beyond_double);
    EXPECT_EQ(read_all("-1e999").fault, NumberFault::beyond_double);
}

}  // namespace
}  // namespace amphora::source
