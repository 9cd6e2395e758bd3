// What a minute, an hour or a day held: lowest, highest, mean, and the charge and energy that went in and out.
// Sums are whole numbers, so that rolling up rollups gives exactly what rolling up the readings gives.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <vector>

#include "core/quantity/reading.hpp"

namespace amphora::ledger {

__extension__ using Wide = __int128;

/// One quantity over a span, in millionths of its unit.
struct Range {
    std::int64_t known = 0;  // readings that had it
    std::int64_t low = std::numeric_limits<std::int64_t>::max();
    std::int64_t high = std::numeric_limits<std::int64_t>::min();
    std::int64_t sum = 0;

    void add(std::int64_t micro);
    void merge(const Range& other);
    /// Lowest, highest, mean in the quantity's unit; NaN when nothing was known.
    [[nodiscard]] double lowest() const;
    [[nodiscard]] double highest() const;
    [[nodiscard]] double mean() const;
    bool operator==(const Range&) const = default;
};

/// A span of the record. A reading's current is held until the next reading comes, or not counted when that is late
/// (see MinuteRollups); `covered_us` is the time for which it was.
struct Rollup {
    std::int64_t start_us = 0;
    std::int64_t readings = 0;
    std::int64_t covered_us = 0;
    Range current;
    Range voltage;
    Range temperature;
    Wide charge_in = 0;   // picocoulombs (microampere times microsecond), >= 0
    Wide charge_out = 0;  // likewise, >= 0
    Wide energy_in = 0;   // picojoules (microwatt times microsecond)
    Wide energy_out = 0;

    /// Adds another span's content; `start_us` stays.
    void merge(const Rollup& other);
    [[nodiscard]] AmpHour in() const { return to_amp_hours(charge_in); }
    [[nodiscard]] AmpHour out() const { return to_amp_hours(charge_out); }
    [[nodiscard]] WattHour taken_in() const { return WattHour(to_amp_hours(energy_in).value()); }
    [[nodiscard]] WattHour given_out() const { return WattHour(to_amp_hours(energy_out).value()); }
    bool operator==(const Rollup&) const = default;

private:
    static AmpHour to_amp_hours(Wide pico_seconds) {
        return AmpHour(static_cast<double>(pico_seconds) / (1e12 * seconds_per_hour));
    }
};

/// Adds a reading's values to a span, but no charge: that needs the reading after it.
void add_values(Rollup& span, const Reading& reading);

constexpr std::int64_t minute_us = 60'000'000;
constexpr std::int64_t hour_us = 60 * minute_us;
constexpr std::int64_t day_us = 24 * hour_us;

/// The largest multiple of `unit` at or before `us`.
constexpr std::int64_t floor_to(std::int64_t us, std::int64_t unit) {
    const std::int64_t rest = us % unit;
    return us - (rest < 0 ? rest + unit : rest);
}

/// Rolls readings up by the minute (UTC), one after the other.
/// A step to the next reading counts when it is at most a minute, or at most four times the step before it: so a log of
/// one reading every five minutes is counted whole, and a hole in a log of one a second is not.
class MinuteRollups {
public:
    /// What must be known of the past to go on: the reading before, and the step before that.
    struct Memory {
        std::optional<Reading> last;
        std::int64_t step_us = 15 * minute_us / 4;
    };

    MinuteRollups() = default;
    explicit MinuteRollups(Memory memory) : memory_(memory) {}

    /// Takes the next reading, in the order of time. One that is not later than the last adds no charge.
    void push(const Reading& reading);

    [[nodiscard]] const Memory& memory() const { return memory_; }
    /// The minutes so far, in order; the last may still grow.
    [[nodiscard]] const std::vector<Rollup>& minutes() const { return minutes_; }
    [[nodiscard]] std::vector<Rollup> take();

private:
    struct Flow {
        std::int64_t current;  // microamperes
        std::int64_t power;    // microwatts
    };
    static Flow flow_of(const Reading& reading);
    Rollup& minute_of(std::int64_t us);
    void hold(const Reading& reading, std::int64_t until_us);
    static void add(Rollup& minute, const Flow& flow, std::int64_t span_us);

    Memory memory_;
    std::vector<Rollup> minutes_;
};

/// Merges spans into longer ones of `unit` microseconds (UTC). The spans must be in order and must not cross their
/// edges.
[[nodiscard]] std::vector<Rollup> roll_up(const std::vector<Rollup>& spans, std::int64_t unit);

/// Merges `more` into `into`, both in order of start.
void merge_spans(std::vector<Rollup>& into, const std::vector<Rollup>& more);

}  // namespace amphora::ledger
