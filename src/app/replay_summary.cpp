#include "app/replay_summary.hpp"

#include <fmt/core.h>

#include <array>
#include <cmath>
#include <string_view>

#include "app/standing.hpp"
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
    for (const auto& warning : result.warnings) lines.head(fmt::format("Warning: {}", warning));
    lines.head(fmt::format("{}: {} to {} UTC ({}), {}", system.name, text::date_and_time(result.first),
                           text::date_and_time(result.last), text::duration(result.last - result.first),
                           text::count_of(result.log.readings, "reading")));
    lines.head("Where it stands at the end");
    for (const auto& line : standing(result.end, system)) lines.add(line);
    lines.head("What was learned");
    for (const auto& line : learned(result.end, system)) lines.add(line);
    how_wrong(lines, result);
    oddities(lines, result);
    return lines.take();
}

std::string bad_lines(const source::CsvReport& log) {
    std::string text;
    for (const auto& bad : log.first_bad) text += bad_line_words(bad) + "\n";
    if (log.bad > log.first_bad.size())
        text += fmt::format("and {} more\n", text::count_of(log.bad - log.first_bad.size(), "bad line"));
    return text;
}

}  // namespace amphora::app
