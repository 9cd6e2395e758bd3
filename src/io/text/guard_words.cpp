#include "io/text/guard_words.hpp"

#include <fmt/format.h>

#include <cmath>

#include "io/text/figure.hpp"

namespace amphora::text {
namespace {

using described::RelayKind;
using described::Switches;
using described::WhenBlind;

std::string_view curve_words(TimeCurve curve) {
    switch (curve) {
        case TimeCurve::standard_inverse:
            return "standard inverse";
        case TimeCurve::very_inverse:
            return "very inverse";
        case TimeCurve::extremely_inverse:
            return "extremely inverse";
        case TimeCurve::undervoltage_inverse:
            return "undervoltage inverse";
        case TimeCurve::definite:
            break;
    }
    return "";
}

std::string delay_words(const described::Guard& g) {
    if (g.curve != TimeCurve::definite)
        return fmt::format(" for as long as the {} curve allows{}", curve_words(g.curve),
                           g.time_multiplier == 1.0 ? "" : fmt::format(" (times {:.3g})", g.time_multiplier));
    return g.trip_after > Second(0.0) ? " for " + duration(g.trip_after) : "";
}

std::string clear_words(const described::Guard& g) {
    if (g.latches) return "stays until a person clears it";
    const Level level = g.trip_below.known() ? g.clear_above : g.clear_below;
    return fmt::format("clears at {}{}", level_words(g.watch, level),
                       g.clear_after > Second(0.0) ? ", after " + duration(g.clear_after) : "");
}

}  // namespace

std::string_view watched_words(Watched watched) {
    switch (watched) {
        case Watched::voltage:
            return "voltage";
        case Watched::unloaded_voltage:
            return "unloaded voltage";
        case Watched::current_in:
            return "current in";
        case Watched::current_out:
            return "current out";
        case Watched::reverse_current:
            return "reverse current";
        case Watched::state_of_charge:
            return "state of charge";
        case Watched::lowest_state_of_charge:
            return "lower edge of the state of charge";
        case Watched::temperature:
            return "temperature";
        case Watched::cell_spread:
            return "spread of the cells";
        case Watched::silence:
            return "silence";
        case Watched::time_to_empty:
            break;
    }
    return "time to empty";
}

std::string level_words(Watched watched, Level value) {
    const double v = value.value();
    if (std::isnan(v) || (!value.known() && watched != Watched::time_to_empty)) return "not known";
    switch (watched) {
        case Watched::voltage:
        case Watched::unloaded_voltage:
            return fmt::format("{:.2f} V", v);
        case Watched::cell_spread:
            return fmt::format("{:.3f} V", v);
        case Watched::current_in:
        case Watched::current_out:
        case Watched::reverse_current:
            return fmt::format("{:.4g} A", v);
        case Watched::state_of_charge:
        case Watched::lowest_state_of_charge:
            return fmt::format("{:.0f} %", v * 100.0);
        case Watched::temperature:
            return fmt::format("{:.1f} C", v);
        case Watched::silence:
            return duration(Second(v));
        case Watched::time_to_empty:
            break;
    }
    return value.known() ? fmt::format("{:.3g} h", v) : "no end in sight";
}

std::string rule_words(const described::Guard& g) {
    const bool below = g.trip_below.known();
    return fmt::format("trips when the {}{} is {} {}{}; {}", watched_words(g.watch), g.of.empty() ? "" : " of " + g.of,
                       below ? "below" : "above", level_words(g.watch, below ? g.trip_below : g.trip_above),
                       delay_words(g), clear_words(g));
}

std::string action_words(const described::Guard& g, bool normally_on) {
    std::string out;
    const auto add = [&](const std::string& what) { out += (out.empty() ? "" : ", ") + what; };
    if (!g.relay.empty()) add(fmt::format("takes the relay {} {}", g.relay, normally_on ? "off" : "on"));
    for (const auto& name : g.notices) add("tells " + name);
    if (!g.run.empty()) add("runs " + g.run.front());
    if (g.quiet.size() > 1)
        out += fmt::format(" (not from {:.4g} to {:.4g} h)", g.quiet[0].value(), g.quiet[1].value());
    return out + (g.urgent ? "; urgent" : "");
}

std::string relay_words(const described::Relay& r) {
    std::string how;
    switch (r.kind) {
        case RelayKind::gpio:
            how = fmt::format("by GPIO, {} line {}", r.at, r.line);
            break;
        case RelayKind::modbus:
            how = fmt::format("by Modbus, {} coil {}", r.at, r.coil);
            break;
        case RelayKind::mqtt:
            how = fmt::format("by MQTT, {}", r.at);
            break;
        case RelayKind::rehearsal:
            how = "in rehearsal only: nothing is switched";
            break;
    }
    const auto what = r.switches == Switches::loads      ? "the loads"
                      : r.switches == Switches::charging ? "the charging"
                                                         : "something";
    const auto blind = r.when_blind == WhenBlind::hold ? "left as it is" : r.when_blind == WhenBlind::on ? "on" : "off";
    return fmt::format("switches {} {}; {} while no guard holds it; {} when blind for {}", what, how,
                       r.normally_on ? "on" : "off", blind, duration(r.blind_after));
}

std::string notice_words(const described::Guard& g, const GuardSaw& saw) {
    const auto watched = watched_words(g.watch);
    const auto worst = level_words(g.watch, saw.worst);
    if (!saw.tripped)
        return fmt::format("{} is over. The {} is {} again; it was {} at worst.", g.name, watched,
                           level_words(g.watch, saw.value), worst);
    return fmt::format("{}. The {} is {}, at worst {}; it trips {} {}.", g.name, watched,
                       level_words(g.watch, saw.value), worst, g.trip_below.known() ? "below" : "above",
                       level_words(g.watch, saw.level));
}

std::string late_notice_words(const described::Guard& g, const GuardSaw& saw, std::string_view when) {
    return fmt::format("{} {} at {} and is told only now. The {} was {}, at worst {}; it trips {} {}.", g.name,
                       saw.tripped ? "tripped" : "was over", when.empty() ? "a time that is not known" : when,
                       watched_words(g.watch), level_words(g.watch, saw.value), level_words(g.watch, saw.worst),
                       g.trip_below.known() ? "below" : "above", level_words(g.watch, saw.level));
}

std::string act_words(std::string_view kind, const described::Guard* guard, Level value, Level worst,
                      std::optional<bool> on) {
    const auto level = [&](Level l) {
        if (std::isnan(l.value())) return std::string("not known");
        return guard != nullptr ? level_words(guard->watch, l) : fmt::format("{:.4g}", l.value());
    };
    const auto watched = guard != nullptr ? watched_words(guard->watch) : std::string_view("value");
    const auto to = !on ? "" : *on ? "on" : "off";
    if (kind == "tripped") return fmt::format("tripped: the {} was {}", watched, level(value));
    if (kind == "cleared")
        return fmt::format("cleared: the {} was {}, at worst {}", watched, level(value), level(worst));
    if (kind == "told") {
        if (guard != nullptr && guard->notices.empty()) return "ran its program";
        return guard != nullptr && !guard->run.empty() ? "told its notices and ran its program" : "told its notices";
    }
    if (kind == "ordered") return fmt::format("ordered {}", to);
    if (kind == "confirmed") return fmt::format("confirmed {}", to);
    if (kind == "refuses") return fmt::format("ordered {}, but its read-back says otherwise", to);
    if (kind == "blind") return "to its safe state: what its guards watch was not seen";
    if (kind == "sees") return "what its guards watch was seen again";
    return std::string(kind);
}

}  // namespace amphora::text
