#include "io/describe/device_checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "io/describe/phrases.hpp"
#include "io/source/channel_unit.hpp"
#include "io/source/json_figure.hpp"
#include "io/source/modbus/register_value.hpp"
#include "io/source/sysfs/attribute.hpp"

namespace amphora::describe {
namespace {

using described::BusMessage;
using described::Channel;
using described::Source;
using described::SourceKind;

// A channel with its source, and where it stands.
struct Place {
    const Source& source;
    const Channel& channel;
    const std::string& path;
};

void register_is_said(Draft& draft, const Place& at) {
    if (at.source.kind != SourceKind::modbus) return;
    const auto& spot = at.channel.spot;
    if (spot.address < 0)
        draft.mistake_in(at.path, "address", "expected address with it: the register, counted from 0");
    else if (spot.address + static_cast<int>(modbus::words_in(spot.type)) > 0x1'0000)
        draft.mistake_in(at.path, "address", "expected a value that ends at register 65535, found one beyond it");
}

void attribute_is_one(Draft& draft, const Place& at) {
    const bool hwmon = at.source.kind == SourceKind::hwmon;
    if (!hwmon && at.source.kind != SourceKind::iio) return;
    const auto& field = at.channel.field;
    if (hwmon ? sysfs::hwmon_attribute(field).has_value() : sysfs::iio_attribute(field).has_value()) return;
    draft.mistake_in(at.path, "field",
                     fmt::format("expected the file of a reading such as {}, found {}",
                                 hwmon ? "in1_input or curr1_input" : "in_voltage0-voltage1_raw or in_temp_input",
                                 field.empty() ? "none" : fmt::format("\"{}\"", printable(field))));
}

// What a kind of source can measure; empty: anything.
std::vector<Measurand> measurands_of(const Source& source, const Channel& channel) {
    using enum Measurand;
    if (source.kind == SourceKind::sunspec) return {current, voltage, temperature, state_of_charge, cell_voltage};
    if (source.kind != SourceKind::rvc) return {};
    switch (channel.message) {
        case BusMessage::dc_source:
            return {current, voltage, temperature, state_of_charge};
        case BusMessage::charger:
        case BusMessage::solar:
            return {current, voltage, temperature};
        case BusMessage::solar_array:
            return {current, voltage};
        case BusMessage::load:
            return {current};
    }
    return {};
}

void source_can_measure_it(Draft& draft, const Place& at) {
    const auto known = measurands_of(at.source, at.channel);
    if (known.empty() || std::ranges::find(known, at.channel.measures) != known.end()) return;
    std::vector<std::string_view> words;
    for (const auto measurand : known) words.push_back(source::word(measurand));
    draft.mistake_in(at.path, "measures",
                     fmt::format("expected {}, which is all that is told there, found \"{}\"", one_of(words),
                                 source::word(at.channel.measures)));
}

void unit_is_left_out(Draft& draft, const Place& at) {
    const auto kind = at.source.kind;
    const bool knows =
        kind == SourceKind::iio || kind == SourceKind::hwmon || kind == SourceKind::sunspec || kind == SourceKind::rvc;
    if (knows && !at.channel.unit.empty())
        draft.mistake_in(at.path, "unit", "expected no unit, because this kind of source knows its own");
}

void topic_is_said(Draft& draft, const Place& at) {
    if (at.source.kind != SourceKind::mqtt) return;
    const auto& topic = at.channel.topic.empty() ? at.source.at : at.channel.topic;
    if (topic.empty())
        draft.mistake_in(at.path, "topic", "expected topic with it, or at of the source");
    else if (topic.find_first_of("+#") != std::string::npos)
        draft.mistake_in(at.path, "topic",
                         fmt::format("expected a topic without wildcards, found \"{}\"", printable(topic)));
    if (at.channel.field.starts_with('/') && !source::is_json_pointer(at.channel.field))
        draft.mistake_in(at.path, "field",
                         fmt::format("expected a JSON pointer with ~0 for ~ and ~1 for /, found \"{}\"",
                                     printable(at.channel.field)));
}

void meters_exist(Draft& draft) {
    std::vector<std::string_view> names;
    for (const auto& meter : draft.system.meters) names.emplace_back(meter.name);
    const auto& sources = draft.system.live.sources;
    for (std::size_t i = 0; i < sources.size(); ++i) {
        const auto& name = sources[i].meter;
        if (name.empty() || std::ranges::find(names, name) != names.end()) continue;
        draft.mistake_in(draft.instances.at("source")[i], "meter",
                         fmt::format("expected the name of a [[meter]], found \"{}\"{}", printable(name),
                                     did_you_mean(name, names)));
    }
}

void broker_is_there(Draft& draft) {
    const auto& live = draft.system.live;
    if (!live.broker.host.empty()) return;
    for (std::size_t i = 0; i < live.sources.size(); ++i)
        if (live.sources[i].kind == SourceKind::mqtt)
            draft.mistake_in(draft.instances.at("source")[i], "kind", "expected host of [broker] with it, found none");
}

}  // namespace

void check_devices(Draft& draft) {
    broker_is_there(draft);
    meters_exist(draft);
    const auto& live = draft.system.live;
    for (std::size_t i = 0; i < live.channels.size(); ++i) {
        const auto& channel = live.channels[i];
        const auto& path = draft.instances.at("source.channel")[i];
        const auto& source_path = draft.instances.at("source")[channel.source];
        if (!draft.sound(joined(source_path, "kind")) || !draft.sound(joined(path, "measures"))) continue;
        for (const auto check :
             {register_is_said, attribute_is_one, source_can_measure_it, unit_is_left_out, topic_is_said})
            check(draft, {live.sources[channel.source], channel, path});
    }
}

}  // namespace amphora::describe
