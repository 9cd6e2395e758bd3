#include "io/source/decimal.hpp"

#include <charconv>
#include <system_error>

namespace amphora::source {

DecimalRead read_long_decimal(const char* first, const char* last) {
    const bool plus = first != last && *first == '+';
    double value = 0.0;
    const auto [end, error] = std::from_chars(first + (plus ? 1 : 0), last, value);
    if (error == std::errc::result_out_of_range) return {0.0, end, NumberFault::beyond_double};
    if (error != std::errc{}) return {0.0, first, NumberFault::malformed};
    return {value, end, NumberFault::none};
}

}  // namespace amphora::source
