// Decimal numbers from text, fast and exact: what the digits say, rounded to the nearest double.
#pragma once

#include <array>
#include <cstdint>

namespace amphora::source {

enum class NumberFault : std::uint8_t { none, malformed, beyond_double };

/// A number read from the front of a text, and where it ended. Without a fault the value is finite.
struct DecimalRead {
    double value;
    const char* end;
    NumberFault fault;
};

/// The same for any number of digits and for exponents; slower.
DecimalRead read_long_decimal(const char* first, const char* last);

constexpr bool is_digit(char c) { return static_cast<unsigned char>(c - '0') < 10; }

/// Reads [+-]digits[.digits][(e|E)[+-]digits] from the front of [first, last), in any locale; the digits on one side of
/// the point may be left out, not those on both. "inf" and "nan" are malformed, what no double can hold is
/// beyond_double. Up to 15 digits without exponent take the fast way: whole numbers below 2^53 and powers of ten up to
/// 10^22 are exact as doubles, so that their quotient is correctly rounded by IEEE 754.
inline DecimalRead read_decimal(const char* first, const char* last) {
    static constexpr std::array<double, 20> power_of_ten{1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,
                                                         1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19};
    const char* p = first;
    const bool negative = p != last && *p == '-';
    if (p != last && (*p == '-' || *p == '+')) ++p;
    std::uint64_t digits = 0;  // wraps for more than 19 digits, which go the long way
    const char* const whole = p;
    for (; p != last && is_digit(*p); ++p) digits = digits * 10 + static_cast<std::uint64_t>(*p - '0');
    auto count = p - whole;
    std::ptrdiff_t decimals = 0;
    if (p != last && *p == '.') {
        const char* const fraction = ++p;
        for (; p != last && is_digit(*p); ++p) digits = digits * 10 + static_cast<std::uint64_t>(*p - '0');
        decimals = p - fraction;
        count += decimals;
    }
    if (count == 0) return {0.0, first, NumberFault::malformed};
    if (count > 19 || digits > (std::uint64_t{1} << 53U) || (p != last && (*p == 'e' || *p == 'E')))
        return read_long_decimal(first, last);
    const double value = static_cast<double>(digits) / power_of_ten[static_cast<std::size_t>(decimals)];
    return {negative ? -value : value, p, NumberFault::none};
}

}  // namespace amphora::source
