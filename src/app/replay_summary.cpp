#include "app/replay_summary.hpp"

#include <fmt/core.h>

#include <array>
#include <cmath>
#include <string_view>

#include "io/text/calendar.hpp"
#include "io/text/figure.hpp"

namespace amphora::app {
namespace {

constexpr Second shortest_to_judge{6.0 * 3600.0};  // a log in which hindsight can differ from what was said

class Lines {
public:
    void head(std::string_view line) { text_ += fmt::format("{}{}\n", text_.empty() ? "" : "\n", line); }
    void add(std::string_view line) { text_ += fmt::format("  {}\n", line); }
    [[nodiscard]] std::string take() { return std::move(text_); }

private:
    std::string text_;
};

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

void where_it_stands(Lines& lines, const Estimate& e, const System& system) {
    lines.head("Where it stands at the end");
    lines.add(fmt::format("{} (of {}); {} above the reserve of {:.0f} %", text::figure(e.state_of_charge),
                          text::figure(e.full_charge_capacity), text::figure(e.remaining),
                          system.battery.reserve.value() * 100.0));
    if (e.current.known() && e.voltage.known())
        lines.add(
            fmt::format("{:.1f} A at {:.2f} V ({:.0f} W)", e.current.value(), e.voltage.value(), e.power.value()));
    lines.add(outlook(e));
    lines.add("last evidence: " + evidence(e.evidence));
}

void learned(Lines& lines, const Estimate& e, const System& system) {
    const auto label = system.battery.design_capacity;
    const double off = (e.full_charge_capacity.mean / label - 1.0) * 100.0;
    const double band = e.full_charge_capacity.sd / label * band90 * 100.0;
    lines.head("What was learned");
    lines.add(fmt::format("the meter reads {} when nothing flows", text::figure(e.meter_offset)));
    if (std::abs(off) > band)
        lines.add(fmt::format("the battery holds {}: {:.0f} % {} than the {:g} Ah of its label",
                              text::figure(e.full_charge_capacity), std::abs(off), off < 0 ? "less" : "more",
                              label.value()));
    else
        lines.add(fmt::format("the battery holds {}: no different from the {:g} Ah of its label as far as is known",
                              text::figure(e.full_charge_capacity), label.value()));
}

void how_wrong(Lines& lines, const ReplayResult& result) {
    if (!result.honesty || result.honesty->moments() == 0) return;
    if (result.last - result.first < shortest_to_judge) return;
    const auto& honesty = *result.honesty;
    lines.head("How wrong it has been: what was said at the time against what is known now");
    lines.add(fmt::format("{:.1f} points of the state of charge (root mean square){}", honesty.rms().value() * 100.0,
                          result.honesty_from > result.first ? ", the first day left out" : ""));
    lines.add(fmt::format("inside its 90 % band {:.0f} % of the time; the band was ± {:.1f} points in the mean",
                          honesty.inside_band().value() * 100.0, honesty.mean_half_band().value() * 100.0));
    const auto& widest = honesty.widest();
    if (std::abs(widest.error.value()) >= 0.001)
        lines.add(fmt::format("widest error: {:.1f} points too {} at {}", std::abs(widest.error.value()) * 100.0,
                              widest.error.value() > 0 ? "high" : "low", text::date_and_time(widest.at)));
}

// Each oddity in words: what was met, and what was done about it.
void oddities(Lines& lines, const ReplayResult& result) {
    const auto& o = result.oddities;
    const auto& log = result.log;
    struct Oddity {
        std::uint64_t count;
        std::string words;
    };
    const std::array all{
        Oddity{log.bad, fmt::format("{} that cannot be read: left out", text::count_of(log.bad, "line"))},
        Oddity{o.gaps, fmt::format("{} without readings, {} in all: bridged by the usual use, the band widened",
                                   text::count_of(o.gaps, "gap"), text::duration(o.gap_time))},
        Oddity{o.duplicate_time, fmt::format("{} with the time of the one before: left out",
                                             text::count_of(o.duplicate_time, "reading"))},
        Oddity{o.backward_time, fmt::format("{} from before the one before: left out, unless the clock stayed back",
                                            text::count_of(o.backward_time, "reading"))},
        Oddity{o.current_missing, fmt::format("{} without a current: the usual use assumed, the band widened",
                                              text::count_of(o.current_missing, "reading"))},
        Oddity{o.voltage_missing, fmt::format("{} without a voltage: counted by current alone",
                                              text::count_of(o.voltage_missing, "reading"))},
        Oddity{o.out_of_range, fmt::format("{} beyond what this battery can do: taken as not measured",
                                           text::count_of(o.out_of_range, "value"))},
        Oddity{o.stuck, fmt::format("{} current and voltage did not move for long: is the meter stuck?",
                                    text::count_of(o.stuck, "time"))},
        Oddity{result.end.temperature.known() ? o.temperature_missing : 0,
               fmt::format("{} without a temperature: the last one was kept",
                           text::count_of(o.temperature_missing, "reading"))},
    };
    lines.head("What was odd");
    bool any = false;
    for (const auto& oddity : all) {
        if (oddity.count == 0) continue;
        lines.add(oddity.words);
        any = true;
    }
    if (!result.end.temperature.known())
        lines.add("no temperature in the log: 20 °C assumed, voltage trusted less");
    else if (!any)
        lines.add("nothing");
    for (const auto& note : log.notes) lines.add(note);
}

}  // namespace

std::string summary(const ReplayResult& result, const System& system) {
    Lines lines;
    lines.head(fmt::format("{}: {} to {} UTC ({}), {}", system.name, text::date_and_time(result.first),
                           text::date_and_time(result.last), text::duration(result.last - result.first),
                           text::count_of(result.log.readings, "reading")));
    where_it_stands(lines, result.end, system);
    learned(lines, result.end, system);
    how_wrong(lines, result);
    oddities(lines, result);
    return lines.take();
}

std::string bad_lines(const source::CsvReport& log) {
    std::string text;
    for (const auto& bad : log.first_bad) text += describe(bad) + "\n";
    if (log.bad > log.first_bad.size())
        text += fmt::format("and {} more\n", text::count_of(log.bad - log.first_bad.size(), "bad line"));
    return text;
}

}  // namespace amphora::app
