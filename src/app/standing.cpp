#include "app/standing.hpp"

#include <fmt/core.h>

#include <cmath>
#include <string_view>
#include <utility>

#include "io/text/calendar.hpp"
#include "io/text/figure.hpp"

namespace amphora::app {
namespace {

// "Tue 03:40 (between 01:10 and Wed 09:00)": the day is said again only where it is another.
std::string when(Instant now, const TimeRange& range) {
    const auto likely = now + range.likely;
    const auto edge = [&](Second after) -> std::string {
        if (after.value() <= 0.0) return "now";
        if (!std::isfinite(after.value())) return "much later";
        const auto at = now + after;
        return text::same_day(at, likely) ? text::time_of_day(at) : text::moment_near(now, at);
    };
    return fmt::format("{} (between {} and {})", text::moment_near(now, likely), edge(range.low), edge(range.high));
}

std::string outlook(const Estimate& e) {
    const auto comes = [](Second after) { return std::isfinite(after.value()); };
    std::string line;
    if (e.to_empty.likely.value() <= 0.0)
        line = "nothing left above the reserve";
    else if (comes(e.to_empty.likely))
        line = "at this use empty on " + when(e.at, e.to_empty);
    else if (comes(e.to_empty.low))
        line =
            fmt::format("at this use most likely not empty within ten days, at the earliest {}",
                        e.to_empty.low.value() <= 0.0 ? "now" : "on " + text::moment_near(e.at, e.at + e.to_empty.low));
    else
        line = "at this use not empty within ten days";
    if (comes(e.to_full.likely) && e.to_full.likely.value() > 0.0) line += "; full on " + when(e.at, e.to_full);
    return line;
}

std::string_view name(Evidence evidence) {
    switch (evidence) {
        case Evidence::none:
            return "none";
        case Evidence::full:
            return "full";
        case Evidence::empty:
            return "empty";
        case Evidence::rest_voltage:
            return "rest voltage";
        case Evidence::voltage_under_load:
            return "voltage under load";
    }
    return "none";
}

std::string evidence(const LastEvidence& last) {
    if (last.kind == Evidence::none)
        return "no evidence yet but the counted charge: neither full, nor empty, nor at rest";
    return fmt::format("{} at {}; since then {:.0f} Ah out, {:.0f} Ah in", name(last.kind),
                       text::date_and_time(last.at), last.out_since.value(), last.in_since.value());
}

}  // namespace

std::vector<std::string> standing(const Estimate& e, const System& system) {
    std::vector<std::string> lines;
    lines.push_back(fmt::format("{} (of {}); {} above the reserve of {:.0f} %", text::figure(e.state_of_charge),
                                text::figure(e.full_charge_capacity), text::figure(e.remaining),
                                system.battery.reserve.value() * 100.0));
    if (e.current.known() && e.voltage.known())
        lines.push_back(
            fmt::format("{:.1f} A at {:.2f} V ({:.0f} W)", e.current.value(), e.voltage.value(), e.power.value()));
    lines.push_back(outlook(e));
    lines.push_back("last evidence: " + evidence(e.evidence));
    return lines;
}

std::vector<std::string> learned(const Estimate& e, const System& system) {
    const auto label = system.battery.design_capacity;
    const double off = (e.full_charge_capacity.mean / label - 1.0) * 100.0;
    const double band = e.full_charge_capacity.sd / label * band90 * 100.0;
    const auto holds = text::figure(e.full_charge_capacity);
    std::string capacity =
        std::abs(off) > band
            ? fmt::format("the battery holds {}: {:.0f} % {} than the {:g} Ah of its label", holds, std::abs(off),
                          off < 0 ? "less" : "more", label.value())
            : fmt::format("the battery holds {}: no different from the {:g} Ah of its label as far as is known", holds,
                          label.value());
    return {fmt::format("the meter reads {} when nothing flows", text::figure(e.meter_offset)), std::move(capacity)};
}

}  // namespace amphora::app
