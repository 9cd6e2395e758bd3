// [[source]] and [[source.channel]]: where live readings come from and what they mean.
#include <algorithm>
#include <iterator>

#include "io/describe/tables/rows.hpp"
#include "io/describe/tables/tables.hpp"

namespace amphora::describe {
namespace {

using described::SourceKind;
using S = described::Source;
using C = described::Channel;

constexpr Words<SourceKind, 10> kinds{{{"serial", SourceKind::serial},
                                       {"tcp", SourceKind::tcp},
                                       {"stdin", SourceKind::standard_input},
                                       {"twin", SourceKind::twin},
                                       {"iio", SourceKind::iio},
                                       {"hwmon", SourceKind::hwmon},
                                       {"modbus", SourceKind::modbus},
                                       {"sunspec", SourceKind::sunspec},
                                       {"rvc", SourceKind::rvc},
                                       {"mqtt", SourceKind::mqtt}}};
constexpr Words<Measurand, 7> measurands{{{"current", Measurand::current},
                                          {"voltage", Measurand::voltage},
                                          {"temperature", Measurand::temperature},
                                          {"shunt-drop", Measurand::shunt_drop},
                                          {"cell-voltage", Measurand::cell_voltage},
                                          {"power", Measurand::power},
                                          {"state-of-charge", Measurand::state_of_charge}}};
constexpr Words<Subject, 4> subjects{{{"battery", Subject::battery},
                                      {"charger", Subject::charger},
                                      {"appliance", Subject::appliance},
                                      {"probe", Subject::probe}}};
constexpr Words<bool, 2> directions{{{"charging", true}, {"discharging", false}}};

constexpr auto of = [](auto member) {
    return [member](auto& s, auto i) -> auto& { return s.live.sources[i].*member; };
};
constexpr auto in = [](auto member) {
    return [member](auto& s, auto i) -> auto& { return s.live.channels[i].*member; };
};

Key long_text(Key key) {
    key.range = {1, 1000};
    return key;
}

std::vector<Key> every_source() {
    return {
        required(text("name", "What you call it; no two alike.", "", kept(of(&S::name)))),
        required(word("kind", kinds, "How it is read.", "", of(&S::kind))),
        long_text(text("at", "Where it is: a device, `host:port`, a folder, by kind.", "by kind", kept(of(&S::at)))),
        number("every_s", "s", {0.05, 3600}, "How often it gives, or is asked for, a reading.", "1",
               measured(of(&S::interval))),
        number("silent_after_s", "s", {0.2, 86400}, "Without a reading for so long it counts as silent.",
               "five times `every_s`, at least 5", measured(of(&S::silent_after))),
    };
}

std::vector<Key> every_channel() {
    return {
        required(word("measures", measurands, "What it measures.", "", in(&C::measures))),
        word("of", subjects, "Of what.", "battery", in(&C::of)),
        text("whose",
             "Name of the `[[charger]]` or `[[appliance]]`, or what you call the probe; for a shunt's drop the "
             "`[[meter]]` whose rated pair turns it into amperes.",
             "the only one, or the first meter", kept(in(&C::whose))),
        long_text(text("field", "Where it stands in what the source gives, by the source's kind.",
                       "the name of what it measures", kept(in(&C::field)))),
        text("unit", "Unit in which the source gives it: A mA uA, V mV uV, C F K, W mW kW, % or 1.",
             "A, V, C, W, 1; mV for a shunt's drop", kept(in(&C::unit))),
        number("scale", "", {-1e9, 1e9}, "What the source's figure is multiplied by.", "1",
               {[](System& s, std::size_t i, const Value& v) { s.live.channels[i].scale = std::get<double>(v); },
                [](const System& s, std::size_t i) -> Value { return s.live.channels[i].scale; }}),
        number("offset", "", {-1e9, 1e9}, "What is added then, in the same unit.", "0",
               {[](System& s, std::size_t i, const Value& v) { s.live.channels[i].offset = std::get<double>(v); },
                [](const System& s, std::size_t i) -> Value { return s.live.channels[i].offset; }}),
        word("positive", directions, "Which way of a current or power the source counts as positive.", "charging",
             in(&C::positive_charging)),
        whole("cell", {1, 400}, "Of a cell's voltage: which cell, from 1.", "1", kept(in(&C::cell))),
    };
}

}  // namespace

std::vector<Table> source_tables() {
    Table source{.path = "source",
                 .presence = Presence::repeated,
                 .meaning =
                     "Something that live readings come from; repeat the table for each. What it measures is said by "
                     "its channels.",
                 .enter = [](System& s) { s.live.sources.emplace_back(); },
                 .count = [](const System& s) { return s.live.sources.size(); }};
    source.keys = every_source();
    std::ranges::move(line_keys(), std::back_inserter(source.keys));
    std::ranges::move(device_keys(), std::back_inserter(source.keys));
    Table channel{.path = "source.channel",
                  .presence = Presence::repeated,
                  .meaning = "One figure that the source above it gives; repeat the table for each.",
                  .enter =
                      [](System& s) {
                          s.live.channels.emplace_back();
                          s.live.channels.back().source = s.live.sources.size() - 1;
                      },
                  .count = [](const System& s) { return s.live.channels.size(); },
                  .inside = [](const System& s, std::size_t i) { return s.live.channels[i].source; }};
    channel.keys = every_channel();
    std::ranges::move(spot_keys(), std::back_inserter(channel.keys));
    return {std::move(source), std::move(channel)};
}

}  // namespace amphora::describe
