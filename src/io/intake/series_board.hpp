// Readings out of a log that has one value of one quantity to a line: the newest of each, put together.
#pragma once

#include <array>
#include <cstddef>
#include <limits>
#include <optional>

#include "core/quantity/quantity.hpp"
#include "core/quantity/reading.hpp"

namespace amphora::intake {

/// A reading is made at each moment at which the current was written down and, while it is not, at those of other
/// quantities, ten seconds apart at least. What was not written at that moment is as it was last, unless that is too
/// long ago: such logs often hold changes only.
template <std::size_t quantities>
class SeriesBoard {
public:
    explicit SeriesBoard(Second hold) : hold_us_(static_cast<std::int64_t>(hold.value() * 1e6)) {}

    /// The moment before `at` of which all is known now and a reading is due, if any. Asked before put().
    [[nodiscard]] std::optional<Instant> due(Instant at) {
        if (!pending_ || pending_->us == at.us) return std::nullopt;
        return rest();
    }
    /// The last moment, when the log is at its end.
    [[nodiscard]] std::optional<Instant> rest() {
        const auto moment = pending_;
        if (moment) last_ = moment;
        pending_.reset();
        return moment;
    }

    /// `leads`: of a quantity by whose moments readings are made. NaN: it was said that nothing was measured.
    void put(std::size_t quantity, double value, Instant at, bool leads) {
        newest_[quantity] = {value, at};
        if (leads || !last_ || at.us < last_->us || at.us - last_->us >= pause_us) pending_ = at;
    }

    /// NaN where there was none, or too long before `at`.
    [[nodiscard]] double value(std::size_t quantity, Instant at) const {
        const auto& [value, seen] = newest_[quantity];
        return at.us >= seen.us && at.us - seen.us <= hold_us_ ? value : std::numeric_limits<double>::quiet_NaN();
    }

private:
    static constexpr std::int64_t pause_us = 10'000'000;
    struct Newest {
        double value = std::numeric_limits<double>::quiet_NaN();
        Instant at{};
    };
    std::int64_t hold_us_;
    std::array<Newest, quantities> newest_{};
    std::optional<Instant> pending_;
    std::optional<Instant> last_;
};

}  // namespace amphora::intake
