// What a chart of a log needs to know of it, gathered while the log goes by; of fixed size.
#pragma once

#include <optional>
#include <vector>

#include "core/estimate/estimate.hpp"
#include "core/quantity/reading.hpp"
#include "io/document/plot/time_buckets.hpp"

namespace amphora::plot {

struct MeasuredBucket {
    Spread current;  // A
    Spread voltage;  // V

    void merge(const MeasuredBucket& other);
};

/// A state of charge and its 90 % band, as fractions.
struct BandBucket {
    Spread mean;
    Extent band;

    void add(Uncertain<Fraction> state_of_charge);
    void merge(const BandBucket& other);
};

struct ChargeBucket {
    BandBucket said;       // at the time
    BandBucket known_now;  // in hindsight
    bool full_seen = false;

    void merge(const ChargeBucket& other);
};

class LogTrace {
public:
    void add(const Reading& reading);
    /// `known_now` is nothing if no hindsight is kept.
    void add(const Estimate& said, const std::optional<Uncertain<Fraction>>& known_now);

    [[nodiscard]] const TimeBuckets<MeasuredBucket>& measured() const { return measured_; }
    [[nodiscard]] const TimeBuckets<ChargeBucket>& charge() const { return charge_; }
    [[nodiscard]] std::uint64_t readings() const { return readings_; }
    [[nodiscard]] Instant first() const { return first_; }
    [[nodiscard]] Instant last() const { return last_; }

private:
    TimeBuckets<MeasuredBucket> measured_;
    TimeBuckets<ChargeBucket> charge_;
    std::uint64_t readings_ = 0;
    Instant first_, last_, full_at_{-1};
};

}  // namespace amphora::plot
