#include "app/understanding.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "io/describe/chemistry_defaults.hpp"
#include "io/live/source_word.hpp"
#include "io/source/channel_unit.hpp"

namespace amphora::app {
namespace {

constexpr std::size_t label_width = 10;

std::string line(std::string_view label, const std::string& text) {
    return fmt::format("  {:<{}}{}\n", label, label_width, text);
}

// A figure with as many digits as a label or a data sheet has.
std::string figure(double value, std::string_view unit) { return fmt::format("{:.4g} {}", value, unit); }

std::string energy(WattHour e) {
    return e.value() < 1000.0 ? figure(e.value(), "Wh") : figure(e.value() / 1000.0, "kWh");
}

std::string time(Second t) {
    if (t.value() >= 3600.0) return figure(t.value() / 3600.0, "h");
    if (t.value() >= 60.0) return figure(t.value() / 60.0, "min");
    return figure(t.value(), "s");
}

std::string percent(Fraction f) { return fmt::format("{:.4g} %", f.value() * 100.0); }

std::string battery(const Battery& b) {
    const auto& kind = describe::defaults_of(b.chemistry);
    const auto volts = kind.nominal * b.cells_in_series;
    const auto usable = Fraction(1.0 - b.reserve.value()) * b.design_capacity;
    return line("Battery",
                fmt::format("{} of {} ({}), {} {} in series, {} nominal: {}", figure(b.design_capacity.value(), "Ah"),
                            kind.name, kind.word, b.cells_in_series, b.cells_in_series == 1 ? "cell" : "cells",
                            figure(volts.value(), "V"), energy(b.design_capacity * volts))) +
           line("",
                fmt::format("capacity stated for a discharge over {}, which is {}", figure(b.rated_over.value(), "h"),
                            figure((b.design_capacity / b.rated_over).value(), "A"))) +
           line("Reserve", fmt::format("{} is not to be used: time to empty counts down the other {}",
                                       percent(b.reserve), figure(usable.value(), "Ah")));
}

std::string full_words(const Battery& b) {
    return line("Full", fmt::format("at {} or more ({} per cell) with {} or less going in, for {}",
                                    figure(b.full.voltage.value(), "V"),
                                    figure((b.full.voltage / b.cells_in_series).value(), "V"),
                                    figure(b.full.current_below.value(), "A"), time(b.full.held_for)));
}

std::string rest_voltage(const Battery& b) {
    if (!b.ocv) return line("At rest", "the voltage curve of its chemistry");
    return line("At rest",
                fmt::format("your measured curve, {} points from {} to {} per cell", b.ocv->voltage.size(),
                            figure(b.ocv->voltage.front().value(), "V"), figure(b.ocv->voltage.back().value(), "V")));
}

std::string meter(const Meter& m) {
    if (!m.rated_current.known()) return line("Meter", fmt::format("{}: its readings must come in amperes", m.name));
    const auto resistance = m.rated_drop / m.rated_current;
    return line("Meter", fmt::format("{}: {} at {}, so {}; at that current it turns {} to heat", m.name,
                                     figure(m.rated_drop.value() * 1e3, "mV"), figure(m.rated_current.value(), "A"),
                                     figure(resistance.value() * 1e6, "µΩ"),
                                     figure((m.rated_drop * m.rated_current).value(), "W")));
}

std::string meters(const System& s) {
    if (s.meters.empty()) return line("Meter", "none described: readings must come in amperes");
    std::string out;
    for (const auto& m : s.meters) out += meter(m);
    return out;
}

std::string where_and_when(const System& s) {
    std::string out;
    if (s.place)
        out +=
            line("Place",
                 fmt::format("{:.4g}° {}, {:.4g}° {}, {} above the sea", std::abs(s.place->latitude.value()),
                             s.place->latitude.value() < 0 ? "south" : "north", std::abs(s.place->longitude.value()),
                             s.place->longitude.value() < 0 ? "west" : "east", figure(s.place->altitude.value(), "m")));
    if (!s.zone.empty()) out += line("Days", fmt::format("as in {}", s.zone));
    if (!s.record.empty()) out += line("Record", s.record);
    return out;
}

std::string subject(const described::Channel& c) {
    if (c.of == Subject::battery) return "of the battery";
    return c.of == Subject::probe ? fmt::format("at {}", c.whose)
                                  : fmt::format("of the {} {}", live::word(c.of), c.whose);
}

std::string channel(const described::Channel& c) {
    const bool flows =
        c.measures == Measurand::current || c.measures == Measurand::shunt_drop || c.measures == Measurand::power;
    const std::string cell = c.measures == Measurand::cell_voltage ? fmt::format(" {}", c.cell) : "";
    return line("", fmt::format("{}{} {}{}{}{}", source::word(c.measures), cell, subject(c),
                                c.field.empty() ? "" : fmt::format(", from \"{}\"", c.field),
                                c.unit.empty() ? "" : " in " + c.unit,
                                !flows                ? ""
                                : c.positive_charging ? "; positive charges"
                                                      : "; positive discharges"));
}

std::string sources(const Live& live) {
    std::string out;
    for (std::size_t i = 0; i < live.sources.size(); ++i) {
        const auto& s = live.sources[i];
        out += line("Source", fmt::format("{}: {}{}{}, every {}; silent after {}", s.name, live::word(s.kind),
                                          s.at.empty() ? "" : " at ", s.at, time(s.interval), time(s.patience())));
        for (const auto& c : live.channels)
            if (c.source == i) out += channel(c);
    }
    return out;
}

std::string assumptions(const std::vector<describe::Note>& notes) {
    std::size_t widest = 0;
    for (const auto& note : notes) widest = std::max(widest, note.path.size() + 3 + note.value.size());
    std::string out;
    for (const auto& note : notes)
        out += fmt::format("  {:<{}}  {}\n", fmt::format("{} = {}", note.path, note.value), widest, note.why);
    return out;
}

}  // namespace

std::string understanding(const describe::Described& described, bool bold) {
    const auto heading = [&](const std::string& text) {
        return bold ? fmt::format("\033[1m{}\033[0m\n", text) : fmt::format("{}\n", text);
    };
    const auto& s = described.system;
    std::string out = heading(fmt::format("{}, a system of {}", s.name, figure(s.nominal_voltage.value(), "V")));
    out += battery(s.battery) + full_words(s.battery) + rest_voltage(s.battery) + meters(s) + sources(s.live) +
           where_and_when(s);
    if (!described.notes.empty())
        out += "\n" + heading("Assumed, because the file does not say") + assumptions(described.notes);
    return out;
}

}  // namespace amphora::app
