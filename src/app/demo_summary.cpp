#include "app/demo_summary.hpp"

#include <fmt/format.h>

#include <cmath>

#include "app/standing.hpp"
#include "io/text/calendar.hpp"
#include "io/text/figure.hpp"

namespace amphora::app {

std::string demo_summary(const DemoVan& van, Second lived) {
    const Estimate now = van.estimate();
    std::string text = fmt::format("{} (an invented van), {} UTC, {} behind it\n", van.system().name,
                                   text::date_and_time(now.at), text::duration(lived));
    for (const auto& line : standing(now, van.system())) text += fmt::format("  {}\n", line);
    for (const auto& line : learned(now, van.system())) text += fmt::format("  {}\n", line);
    const double off = (now.state_of_charge.mean - van.true_state_of_charge()).value() * 100;
    return text +
           fmt::format("  the truth, which only an invented van tells: {:.1f} %, so it is {:.1f} points too {}\n",
                       van.true_state_of_charge().value() * 100, std::abs(off), off < 0 ? "low" : "high");
}

}  // namespace amphora::app
