// A record of any length in a memory that does not grow: equal spans of time, doubled in width whenever they run out.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "core/quantity/instant.hpp"

namespace amphora::plot {

/// The values of one quantity inside a bucket.
struct Extent {
    float low = std::numeric_limits<float>::infinity();
    float high = -std::numeric_limits<float>::infinity();

    void add(float value) {
        low = std::min(low, value);  // neither takes a NaN
        high = std::max(high, value);
    }
    void merge(const Extent& other) {
        low = std::min(low, other.low);
        high = std::max(high, other.high);
    }
    [[nodiscard]] bool known() const { return low <= high; }
};

/// The same with their average.
struct Spread {
    Extent extent;
    double sum = 0.0;
    std::uint32_t count = 0;

    void add(double value) {
        if (std::isnan(value)) return;
        extent.add(static_cast<float>(value));
        sum += value;
        ++count;
    }
    void merge(const Spread& other) {
        extent.merge(other.extent);
        sum += other.sum;
        count += other.count;
    }
    /// The average as an extent of no height; unknown where nothing is.
    [[nodiscard]] Extent average() const {
        if (count == 0) return {};
        const auto value = static_cast<float>(sum / count);
        return {value, value};
    }
};

/// Buckets from the first moment on; a moment before it counts as the first. A Bucket starts empty and knows
/// merge(const Bucket&), which takes in the bucket after it.
template <class Bucket>
class TimeBuckets {
public:
    static constexpr std::size_t most = 1536;  // about one for each dot of the chart's width, and never half of that

    /// The bucket for a moment.
    Bucket& at(Instant moment) {
        if (buckets_.empty()) {
            buckets_.resize(most);
            start_ = moment;
        }
        auto index = index_of(moment);
        for (; index >= most; index = index_of(moment)) double_width();
        used_ = std::max(used_, index + 1);
        return buckets_[index];
    }

    /// The buckets from the first to the last one used.
    [[nodiscard]] std::span<const Bucket> used() const { return std::span(buckets_).first(used_); }
    [[nodiscard]] Second width() const { return Second(static_cast<double>(std::int64_t{1} << width_bits_) / 1e6); }
    /// The middle of a bucket.
    [[nodiscard]] Instant middle(std::size_t index) const {
        return {start_.us + static_cast<std::int64_t>(((2 * index + 1) << width_bits_) / 2)};
    }

private:
    [[nodiscard]] std::size_t index_of(Instant moment) const {
        return moment <= start_ ? 0 : static_cast<std::size_t>(moment.us - start_.us) >> width_bits_;
    }
    void double_width() {
        for (std::size_t i = 0; i < most / 2; ++i) {
            Bucket pair = buckets_[2 * i];
            pair.merge(buckets_[2 * i + 1]);
            buckets_[i] = pair;
        }
        std::fill(buckets_.begin() + most / 2, buckets_.end(), Bucket{});
        used_ = (used_ + 1) / 2;
        ++width_bits_;
    }

    std::vector<Bucket> buckets_;
    std::size_t used_ = 0;
    Instant start_;
    unsigned width_bits_ = 20;  // the width is a power of two of microseconds; at first about a second
};

}  // namespace amphora::plot
