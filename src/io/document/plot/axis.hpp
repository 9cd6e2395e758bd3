// Where the lines and labels of an axis go.
#pragma once

#include <string>
#include <vector>

#include "core/quantity/instant.hpp"

namespace amphora::plot {

/// Values at round steps (1, 2 or 5 times a power of ten) that cover [low, high] in about `count` steps.
struct ValueAxis {
    double low = 0.0;
    double high = 1.0;
    double step = 0.5;

    static ValueAxis covering(double low, double high, int count);
    /// The lines from low to high.
    [[nodiscard]] std::vector<double> lines() const;
    /// A label with as many decimals as the step needs.
    [[nodiscard]] std::string label(double value) const;
};

/// A line of a time axis: `fine` is the label of every line (the time of day, day of the month, month or year),
/// `coarse` the day, month or year that begins there or, at the first line, that it lies in; else empty.
struct TimeLine {
    Instant at;
    std::string fine;
    std::string coarse;
};

/// At most `most` lines (at least 2) at round moments of the UTC calendar within [first, last].
std::vector<TimeLine> time_lines(Instant first, Instant last, int most);

}  // namespace amphora::plot
