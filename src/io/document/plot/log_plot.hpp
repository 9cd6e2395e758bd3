// The chart of a log: state of charge with both bands, current and voltage above one axis of time.
#pragma once

#include <string>

#include "core/estimate/estimate.hpp"
#include "io/document/plot/canvas.hpp"
#include "io/document/plot/log_trace.hpp"

namespace amphora::plot {

struct LogPlot {
    std::string name;  // of the system
    Fraction reserve;
    Estimate end;  // the newest estimate
};

/// Draws the chart into `file`. The log must have at least one reading.
std::expected<void, sink::SinkError> draw_log(const LogPlot& plot, const LogTrace& trace, PageKind kind,
                                              sink::OutputFile file);

}  // namespace amphora::plot
