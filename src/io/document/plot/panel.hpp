// One panel of a chart: a box with an axis of values and a share in an axis of time.
#pragma once

#include <functional>
#include <vector>

#include "io/document/plot/axis.hpp"
#include "io/document/plot/canvas.hpp"
#include "io/document/plot/log_trace.hpp"

namespace amphora::plot {

/// The time that a chart covers, and from when on a time without readings is shown as a gap.
struct TimeSpan {
    Instant first;
    Instant last;
    Second gap;
    std::vector<TimeLine> lines;

    /// All of the log, at least a minute. A gap is longer than a quarter of an hour and than four usual intervals.
    static TimeSpan of(const LogTrace& trace);
};

/// The lowest and highest value of some buckets; but if a few stray ones would squeeze all others into less than a
/// quarter of the panel, without the outermost hundredth.
template <class Bucket>
Extent robust_range(std::span<const Bucket> buckets, auto extent_of);

class Panel {
public:
    Panel(Canvas& canvas, const Box& box, const TimeSpan& time, const ValueAxis& values)
        : canvas_(&canvas), box_(box), time_(&time), values_(values) {}

    /// Lines and labels of the values, and the lines of the time.
    void lines() const;

    /// The area between the lowest and highest value of each bucket, broken at gaps.
    template <class Bucket>
    void area(const TimeBuckets<Bucket>& buckets, auto extent_of, Colour colour) const {
        for (const auto& run : runs(buckets, extent_of)) draw_area(run, colour);
    }

    /// A line through the highest value of each bucket, broken at gaps.
    template <class Bucket>
    void line(const TimeBuckets<Bucket>& buckets, auto extent_of, Colour colour, double width) const {
        for (const auto& run : runs(buckets, extent_of)) draw_line(run, colour, width);
    }

    [[nodiscard]] double x(Instant at) const {
        return box_.left + box_.width * ((at - time_->first) / (time_->last - time_->first));
    }
    [[nodiscard]] double y(double value) const {
        return box_.bottom() - box_.height * (value - values_.low) / (values_.high - values_.low);
    }

private:
    // What lies between two gaps.
    struct Run {
        std::vector<Point> upper, lower;
    };

    template <class Bucket>
    std::vector<Run> runs(const TimeBuckets<Bucket>& buckets, auto extent_of) const {
        std::vector<Run> all;
        Instant before{};
        for (std::size_t i = 0; i < buckets.used().size(); ++i) {
            const Extent extent = extent_of(buckets.used()[i]);
            if (!extent.known()) continue;
            const auto at = std::clamp(buckets.middle(i), time_->first, time_->last);
            if (all.empty() || at - before > time_->gap + buckets.width()) all.emplace_back();
            all.back().upper.push_back({x(at), y(extent.high)});
            all.back().lower.push_back({x(at), y(extent.low)});
            before = at;
        }
        for (auto& run : all) widen(run);
        return all;
    }
    // A lone point becomes a short dash, so that it is seen.
    static void widen(Run& run);
    void draw_area(Run run, Colour colour) const;
    void draw_line(const Run& run, Colour colour, double width) const;

    Canvas* canvas_;
    Box box_;
    const TimeSpan* time_;
    ValueAxis values_;
};

/// The labels of the time axis under a box.
void time_labels(Canvas& canvas, const Box& box, const TimeSpan& time);

template <class Bucket>
Extent robust_range(std::span<const Bucket> buckets, auto extent_of) {
    std::vector<float> values;
    for (const auto& bucket : buckets)
        if (const Extent extent = extent_of(bucket); extent.known())
            values.insert(values.end(), {extent.low, extent.high});
    if (values.empty()) return {};
    std::ranges::sort(values);
    const auto outermost = values.size() / 100;
    const Extent all{values.front(), values.back()};
    const Extent most{values[outermost], values[values.size() - 1 - outermost]};
    return all.high - all.low > 4.0F * (most.high - most.low) && most.high > most.low ? most : all;
}

}  // namespace amphora::plot
