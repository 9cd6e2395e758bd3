#include "app/standing.hpp"

#include <fmt/core.h>

#include <cmath>
#include <string_view>
#include <utility>

#include "io/text/calendar.hpp"
#include "io/text/figure.hpp"

namespace amphora::app {
namespace {

constexpr Second old(600.0);  // from an older reading nothing is foretold

bool hardly_placed(const Estimate& e) { return e.state_of_charge.sd * band90 >= hardly_known; }

/// Moments ahead of the newest reading, told to somebody who looks some time after it: none of them lies behind him.
class Ahead {
public:
    Ahead(Instant newest, Second age) : newest_(newest), age_(age) {}

    [[nodiscard]] bool comes(Second after) const { return std::isfinite(after.value()) && after > age_; }
    [[nodiscard]] std::string moment(Second after) const {
        return comes(after) ? "on " + text::moment_near(newest_ + age_, newest_ + after) : "now";
    }
    /// "on Tue 13:40 (between 11:10 and 16:00)", "on Tue 23:40 (between Tue 21:10 and Wed 02:00)": the days of both
    /// edges, unless all is on one day.
    [[nodiscard]] std::string when(const TimeRange& range) const {
        const Instant likely = newest_ + range.likely;
        const auto same = [&](Second after) { return !comes(after) || text::same_day(newest_ + after, likely); };
        const bool one_day = same(range.low) && same(range.high);
        const auto edge = [&](Second after) -> std::string {
            if (after <= age_) return "now";
            if (!std::isfinite(after.value())) return "much later";
            const Instant at = newest_ + after;
            return one_day ? text::time_of_day(at) : text::moment_near(newest_ + age_, at);
        };
        return fmt::format("{} (between {} and {})", moment(range.likely), edge(range.low), edge(range.high));
    }

private:
    Instant newest_;
    Second age_;
};

std::string outlook(const Estimate& e, Second age) {
    if (age > old)
        return fmt::format("how long it lasts is not known now: the newest reading is {} old", text::duration(age));
    if (hardly_placed(e))
        return "how long it lasts is not known yet: first the battery must show where it stands (full, at rest, empty)";
    if (!e.to_empty.is_known()) return "how long it lasts is not known yet: too little has been measured";
    const Ahead ahead(e.at, age);
    std::string line;
    if (e.to_empty.likely.value() <= 0.0)
        line = "nothing left above the reserve";
    else if (std::isfinite(e.to_empty.likely.value()))
        line = "at this use empty " + ahead.when(e.to_empty);
    else if (std::isfinite(e.to_empty.low.value()))
        line = "at this use most likely not empty within ten days, at the earliest " + ahead.moment(e.to_empty.low);
    else
        line = "at this use not empty within ten days";
    if (ahead.comes(e.to_full.likely)) line += "; full " + ahead.when(e.to_full);
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

std::string evidence_words(const LastEvidence& last) {
    if (last.kind == Evidence::none)
        return "no evidence yet but the counted charge: neither full, nor empty, nor at rest";
    return fmt::format("{} at {}; since then {:.0f} Ah out, {:.0f} Ah in", name(last.kind),
                       text::date_and_time(last.at), last.out_since.value(), last.in_since.value());
}

}  // namespace

std::vector<std::string> standing(const Estimate& e, const System& system, Second age) {
    std::vector<std::string> lines;
    lines.push_back(fmt::format("{} (of {}); {} above the reserve of {:.0f} %", text::figure(e.state_of_charge),
                                text::figure(e.full_charge_capacity),
                                hardly_placed(e) ? "not known yet how much" : text::figure(e.remaining),
                                system.battery.reserve.value() * 100.0));
    if (e.current.known() && e.voltage.known())
        lines.push_back(
            fmt::format("{:.1f} A at {:.2f} V ({:.0f} W)", e.current.value(), e.voltage.value(), e.power.value()));
    lines.push_back(outlook(e, age));
    lines.push_back("last evidence: " + evidence_words(e.evidence));
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
