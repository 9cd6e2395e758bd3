// Readings as whole numbers: a meter that shows 13.27 V has counted 1327 steps of 10 mV. Finds that step.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace amphora::ledger {

constexpr unsigned most_decimals = 9;

/// 10^decimals, exact as a double.
[[nodiscard]] double power_of_ten(unsigned decimals);

/// The whole number n with n / 10^decimals equal to `value` bit for bit; nothing when there is none below 2^51.
[[nodiscard]] std::optional<std::int64_t> as_decimal(double value, unsigned decimals);

/// The same for many values at once; false when one or more of them are no such numbers.
[[nodiscard]] bool as_decimals(std::span<const double> values, unsigned decimals, std::span<std::int64_t> whole);

/// The fewest decimals with which all but one value in 64 are whole numbers. Values that are not finite do not count.
/// Nothing when that takes more than `most_decimals`.
[[nodiscard]] std::optional<unsigned> common_decimals(std::span<const double> values);

/// The largest step of which every difference between the values is a multiple; 1 when there is none or all are equal.
[[nodiscard]] std::int64_t common_step(std::span<const std::int64_t> values);

}  // namespace amphora::ledger
