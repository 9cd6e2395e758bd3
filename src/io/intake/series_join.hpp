// Moments out of a log that has one value of one quantity to a line, in whatever order: the newest of each, together.
#pragma once

#include <array>
#include <limits>
#include <optional>
#include <vector>

#include "core/quantity/quantity.hpp"
#include "core/quantity/reading.hpp"
#include "io/intake/sorted_spool.hpp"

namespace amphora::intake {

/// A moment comes out for each at which a leading quantity was written down (the current, where there is one) and,
/// while it is not, for those of other quantities, ten seconds apart at least. What was not written at that moment is
/// as it was last, unless that is too long ago: such logs often hold changes only.
///
/// Where the quantities take turns, moments come out as the lines go in. Where the times of one follow those of another
/// (all currents, then all voltages) nothing can come out before the end: until then values lie in memory, 16 MB of
/// them at most, and beyond that in a temporary file.
class SeriesJoin {
public:
    static constexpr std::size_t most_quantities = SpooledValue::most_quantities;
    static constexpr std::size_t values_in_memory = std::size_t{1} << 20U;

    struct Moment {
        Instant at{};
        std::array<double, most_quantities> values{};  // NaN where nothing is known
    };

    explicit SeriesJoin(Second hold, std::size_t in_memory = values_in_memory)
        : hold_us_(static_cast<std::int64_t>(hold.value() * 1e6)), in_memory_(in_memory), sorted_(in_memory) {}

    /// A quantity that may come up at all, and whether it leads.
    void expect(std::size_t quantity, bool leads);
    /// One value, in the order of the log. NaN: it was said that nothing was measured.
    void put(std::size_t quantity, double value, Instant at);
    /// The log is at its end.
    void end();
    /// The next moment that is ready.
    [[nodiscard]] std::optional<Moment> next();
    /// As SortedSpool says it.
    [[nodiscard]] const std::string& error() const { return sorted_.error(); }

private:
    enum class Order { unknown, by_time, sorted };

    struct Newest {
        double value = std::numeric_limits<double>::quiet_NaN();
        Instant at{};
    };

    void watch_order(SpooledValue value);
    std::optional<SpooledValue> pull();
    std::optional<Moment> take(SpooledValue value);
    std::optional<Moment> pending_moment();

    std::int64_t hold_us_;
    std::size_t in_memory_;
    std::size_t expected_ = 0;
    std::array<bool, most_quantities> leads_{};

    Order order_ = Order::unknown;
    std::optional<SpooledValue> before_;  // the value put last
    unsigned forward_ = 0;                // changes to another quantity at the same time or a later one
    unsigned backward_ = 0;
    std::vector<SpooledValue> held_;  // as they came, to be taken from `at_` on
    std::size_t at_ = 0;
    SortedSpool sorted_;
    bool ended_ = false;

    std::array<Newest, most_quantities> newest_{};
    std::optional<Instant> pending_;
    std::optional<Instant> last_;
};

}  // namespace amphora::intake
