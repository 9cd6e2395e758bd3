#include "io/document/plot/panel.hpp"

#include <algorithm>
#include <cmath>

#include "io/document/plot/palette.hpp"

namespace amphora::plot {
namespace {

constexpr int most_time_lines = 13;

bool is_thin(std::span<const Point> upper, std::span<const Point> lower) {
    for (std::size_t i = 0; i < upper.size(); ++i)
        if (lower[i].y - upper[i].y > 0.4) return false;
    return true;
}

}  // namespace

TimeSpan TimeSpan::of(const LogTrace& trace) {
    TimeSpan time;
    time.first = trace.first();
    time.last = std::max(trace.last(), trace.first() + Second(60.0));
    const auto usual = (time.last - time.first) / static_cast<double>(std::max<std::uint64_t>(trace.readings(), 1));
    time.gap = std::max(Second(900.0), usual * 4.0);
    time.lines = time_lines(time.first, time.last, most_time_lines);
    return time;
}

void Panel::lines() const {
    for (const auto& line : time_->lines)
        canvas_->line({x(line.at), box_.top}, {x(line.at), box_.bottom()}, palette::grid, 1.0);
    for (const double value : values_.lines()) {
        canvas_->line({box_.left, y(value)}, {box_.right(), y(value)}, palette::grid, 1.0);
        canvas_->text({box_.left - 8.0, y(value) + 4.0}, values_.label(value),
                      {.size = 11.0, .colour = palette::faded_ink, .align = Align::right});
    }
}

void Panel::widen(Run& run) {
    if (run.upper.size() != 1) return;
    for (auto* edge : {&run.upper, &run.lower}) {
        const auto middle = edge->front();
        *edge = {{middle.x - 2.0, middle.y}, {middle.x + 2.0, middle.y}};
    }
}

void Panel::draw_area(Run run, Colour colour) const {
    if (is_thin(run.upper, run.lower)) return;
    // Forth along the upper edge, back along the lower.
    run.upper.insert(run.upper.end(), run.lower.rbegin(), run.lower.rend());
    const auto inside = canvas_->clip(box_);
    canvas_->fill(run.upper, colour);
}

void Panel::draw_line(const Run& run, Colour colour, double width) const {
    const auto inside = canvas_->clip({box_.left, box_.top - 2.0, box_.width, box_.height + 4.0});
    canvas_->line(run.upper, colour, width);
}

void time_labels(Canvas& canvas, const Box& box, const TimeSpan& time) {
    for (const auto& line : time.lines) {
        const double x = box.left + box.width * ((line.at - time.first) / (time.last - time.first));
        canvas.text({x, box.bottom() + 18.0}, line.fine,
                    {.size = 12.0, .colour = palette::ink, .align = Align::middle});
        canvas.text({x, box.bottom() + 35.0}, line.coarse,
                    {.size = 12.0, .colour = palette::faded_ink, .align = Align::middle});
    }
}

}  // namespace amphora::plot
