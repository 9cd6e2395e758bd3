#include "io/document/plot/log_plot.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "io/document/plot/axis.hpp"
#include "io/document/plot/palette.hpp"
#include "io/document/plot/panel.hpp"
#include "io/text/calendar.hpp"
#include "io/text/figure.hpp"

namespace amphora::plot {
namespace {

constexpr double page_width = 1200.0;
constexpr double page_height = 850.0;
constexpr double left = 60.0;
constexpr double width = 985.0;
constexpr double right = left + width;

constexpr Lettering heading{.size = 13.0, .colour = palette::ink, .bold = true};
constexpr Lettering small{.size = 12.0, .colour = palette::faded_ink};

// A piece of a legend: a swatch of the band with its line, and words.
double legend(Canvas& canvas, Point at, Colour band, Colour line, std::string_view words) {
    canvas.fill(Box{at.x, at.y - 9.0, 22.0, 10.0}, band);
    canvas.line({at.x, at.y - 4.0}, {at.x + 22.0, at.y - 4.0}, line, 1.6);
    return at.x + 28.0 + canvas.text({at.x + 28.0, at.y}, words, small) + 22.0;
}

class LogChart {
public:
    LogChart(LogPlot plot, const LogTrace& trace, PageKind kind, sink::OutputFile file)
        : plot_(std::move(plot)),
          trace_(trace),
          canvas_(kind, page_width, page_height, std::move(file)),
          time_(TimeSpan::of(trace)) {}

    std::expected<void, sink::SinkError> draw() {
        canvas_.fill(Box{0.0, 0.0, page_width, page_height}, palette::paper);
        title();
        state_of_charge(Panel(canvas_, {left, 120.0, width, 326.0}, time_, {0.0, 100.0, 20.0}));
        current();
        voltage();
        time_labels(canvas_, {left, 0.0, width, 796.0}, time_);
        return canvas_.commit();
    }

private:
    void title() {
        canvas_.text({left, 44.0}, plot_.name, {.size = 24.0, .colour = palette::ink, .bold = true});
        canvas_.text({left, 68.0},
                     fmt::format("{} to {} UTC, {} in {}", text::date_and_time(trace_.first()),
                                 text::date_and_time(trace_.last()), text::count_of(trace_.readings(), "reading"),
                                 text::duration(trace_.last() - trace_.first())),
                     {.size = 13.0, .colour = palette::faded_ink});
    }

    void state_of_charge(Panel panel) {
        const auto& buckets = trace_.charge();
        const bool hindsight =
            std::ranges::any_of(buckets.used(), [](const auto& b) { return b.known_now.band.known(); });
        double x = left + canvas_.text({left, 102.0}, "State of charge, %", heading) + 26.0;
        x = legend(canvas_, {x, 102.0}, palette::said_band, palette::said, "said at the time, 90 % band");
        if (hindsight)
            x = legend(canvas_, {x, 102.0}, palette::known_band, palette::known, "known now, in hindsight, 90 % band");
        panel.lines();
        panel.area(buckets, [](const ChargeBucket& b) { return percent(b.said.band); }, palette::said_band);
        panel.line(buckets, [](const ChargeBucket& b) { return percent(b.said.mean.average()); }, palette::said, 1.3);
        panel.area(buckets, [](const ChargeBucket& b) { return percent(b.known_now.band); }, palette::known_band);
        panel.line(
            buckets, [](const ChargeBucket& b) { return percent(b.known_now.mean.average()); }, palette::known, 1.5);
        full_marks(panel, x);
        reserve_and_end(panel);
    }

    // Where full was seen: a mark on the upper edge.
    void full_marks(const Panel& panel, double legend_x) {
        const auto& buckets = trace_.charge();
        bool any = false;
        for (std::size_t i = 0; i < buckets.used().size(); ++i) {
            if (!buckets.used()[i].full_seen) continue;
            any = true;
            triangle({panel.x(buckets.middle(i)), panel.y(100.0) - 1.0});
        }
        if (!any) return;
        triangle({legend_x + 5.0, 101.0});
        canvas_.text({legend_x + 14.0, 102.0}, "full was seen", small);
    }

    void triangle(Point tip) {
        const std::array corners{tip, Point{tip.x - 4.0, tip.y - 7.0}, Point{tip.x + 4.0, tip.y - 7.0}};
        canvas_.fill(corners, palette::known);
    }

    void reserve_and_end(const Panel& panel) {
        const double reserve_y = panel.y(plot_.reserve.value() * 100.0);
        canvas_.line({left, reserve_y}, {right, reserve_y}, palette::reserve, 1.0, 4.0);
        const auto& soc = plot_.end.state_of_charge;
        const double end_y = panel.y(soc.mean.value() * 100.0);
        const double apart = std::abs(end_y - reserve_y) < 30.0 ? (end_y < reserve_y ? 24.0 : -24.0) : 0.0;
        canvas_.text({right + 10.0, reserve_y + 4.0 + apart},
                     fmt::format("reserve {:.0f} %", plot_.reserve.value() * 100.0),
                     {.size = 12.0, .colour = palette::reserve});
        canvas_.text({right + 10.0, end_y + 2.0}, text::figure(soc),
                     {.size = 17.0, .colour = palette::ink, .bold = true});
        canvas_.text({right + 10.0, end_y + 17.0}, "at the end", small);
    }

    void current() {
        const auto& buckets = trace_.measured();
        auto range = robust_range(buckets.used(), [](const MeasuredBucket& b) { return b.current.extent; });
        range.add(0.0F);
        const Panel panel(canvas_, {left, 490.0, width, 140.0}, time_, ValueAxis::covering(range.low, range.high, 4));
        canvas_.text({left, 478.0}, "Current, A", heading);
        panel.lines();
        canvas_.line({left, panel.y(0.0)}, {right, panel.y(0.0)}, palette::axis, 1.0);
        panel.area(buckets, [](const MeasuredBucket& b) { return above_zero(b.current.extent); }, palette::into);
        panel.area(buckets, [](const MeasuredBucket& b) { return below_zero(b.current.extent); }, palette::out_of);
        panel.line(buckets, [](const MeasuredBucket& b) { return b.current.average(); }, palette::mean_current, 1.0);
        canvas_.text({right + 10.0, panel.y(0.0) - 6.0}, "into the battery",
                     {.size = 12.0, .colour = palette::into_word});
        canvas_.text({right + 10.0, panel.y(0.0) + 14.0}, "out of it", {.size = 12.0, .colour = palette::out_of_word});
    }

    void voltage() {
        const auto& buckets = trace_.measured();
        const auto range = robust_range(buckets.used(), [](const MeasuredBucket& b) { return b.voltage.extent; });
        const Panel panel(canvas_, {left, 674.0, width, 122.0}, time_, ValueAxis::covering(range.low, range.high, 4));
        canvas_.text({left, 662.0}, "Voltage, V", heading);
        panel.lines();
        panel.area(buckets, [](const MeasuredBucket& b) { return b.voltage.extent; }, palette::voltage_extent);
        panel.line(buckets, [](const MeasuredBucket& b) { return b.voltage.average(); }, palette::voltage, 1.1);
    }

    static Extent percent(Extent fraction) { return {fraction.low * 100.0F, fraction.high * 100.0F}; }
    // The part of the current that flows in, and out, down to the line of zero.
    static Extent above_zero(Extent e) { return e.known() ? Extent{0.0F, std::max(e.high, 0.0F)} : Extent{}; }
    static Extent below_zero(Extent e) { return e.known() ? Extent{std::min(e.low, 0.0F), 0.0F} : Extent{}; }

    LogPlot plot_;
    const LogTrace& trace_;
    Canvas canvas_;
    TimeSpan time_;
};

}  // namespace

std::expected<void, sink::SinkError> draw_log(const LogPlot& plot, const LogTrace& trace, PageKind kind,
                                              sink::OutputFile file) {
    return LogChart(plot, trace, kind, std::move(file)).draw();
}

}  // namespace amphora::plot
