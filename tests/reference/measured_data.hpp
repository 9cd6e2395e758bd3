// Open measured data from beside the repository (../shared/data), read for tests. Where it is missing the tests are
// skipped, and say so aloud: a test that silently did nothing would look like one that passed.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/quantity/reading.hpp"

namespace amphora::measured {

/// A table of numbers; an empty cell is NaN, a time of day "2017-03-25 07:00:06.900" (UTC) is unix seconds.
class Table {
public:
    /// The column of that name; throws std::out_of_range where there is none.
    [[nodiscard]] const std::vector<double>& column(std::string_view name) const;
    [[nodiscard]] std::size_t rows() const { return columns_.empty() ? 0 : columns_.front().size(); }

    /// Reads ../shared/data/NAME. Nothing where the file is missing, with a line on standard error.
    static std::optional<Table> read(const std::string& name);

private:
    std::vector<std::string> names_;
    std::vector<std::vector<double>> columns_;
};

/// Charge that went out of the battery while each reading's current is held over the interval before it.
[[nodiscard]] AmpHour charge_out_held_before(std::span<const Reading> readings);

/// The same by the trapezoid rule.
[[nodiscard]] AmpHour charge_out_trapezoid(std::span<const Reading> readings);

}  // namespace amphora::measured

/// Skips the test where the data is missing.
#define AMPHORA_NEEDS(table) \
    if (!(table)) GTEST_SKIP() << "measured data is missing beside the repository: ../shared/data"
