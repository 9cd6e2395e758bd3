#include "io/describe/live_checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "io/describe/device_checks.hpp"
#include "io/describe/phrases.hpp"
#include "io/source/channel_unit.hpp"
#include "io/source/line_pattern.hpp"

namespace amphora::describe {
namespace {

using Names = std::vector<std::string_view>;
using described::SourceKind;

bool is_lines(SourceKind kind) {
    return kind == SourceKind::serial || kind == SourceKind::tcp || kind == SourceKind::standard_input;
}

bool needs_place(SourceKind kind) {
    return kind == SourceKind::serial || kind == SourceKind::tcp || kind == SourceKind::modbus ||
           kind == SourceKind::sunspec || kind == SourceKind::rvc || kind == SourceKind::iio ||
           kind == SourceKind::hwmon;
}

void sources_make_sense(Draft& draft) {
    const auto& live = draft.system.live;
    std::set<std::string_view> seen;
    for (std::size_t i = 0; i < live.sources.size(); ++i) {
        const auto& s = live.sources[i];
        const std::string& path = draft.instances.at("source")[i];
        if (!s.name.empty() && !seen.insert(s.name).second)
            draft.mistake_in(path, "name",
                             fmt::format("expected a name of its own, found \"{}\" again", printable(s.name)));
        if (!draft.sound(joined(path, "kind"))) continue;
        if (needs_place(s.kind) && s.at.empty()) draft.mistake_in(path, "", "expected at with it: where it is");
        if (std::ranges::find(live.channels, i, &described::Channel::source) == live.channels.end())
            draft.mistake_in(path, "", "expected a [[source.channel]] under it, which says what it measures");
        if (!is_lines(s.kind) || s.lines.format != described::LineFormat::pattern) continue;
        if (const auto pattern = source::LinePattern::from(s.lines.pattern); !pattern)
            draft.mistake_in(
                path, "pattern",
                fmt::format("expected a line with {{name}} for a number, found none: {}", pattern.error()));
    }
}

void lines_have_the_fields(Draft& draft) {
    const auto& live = draft.system.live;
    for (std::size_t i = 0; i < live.channels.size(); ++i) {
        const auto& c = live.channels[i];
        const auto& s = live.sources[c.source];
        if (!is_lines(s.kind) || s.lines.format != described::LineFormat::pattern) continue;
        const auto pattern = source::LinePattern::from(s.lines.pattern);
        if (!pattern) continue;
        const std::string field = c.field.empty() ? std::string(source::word(c.measures)) : c.field;
        const Names names(pattern->fields().begin(), pattern->fields().end());
        if (std::ranges::find(names, field) == names.end())
            draft.mistake_in(draft.instances.at("source.channel")[i], "field",
                             fmt::format("expected a field of the pattern, {}, found \"{}\"{}", one_of(names),
                                         printable(field), did_you_mean(field, names)));
    }
}

void units_fit(Draft& draft) {
    const auto& channels = draft.system.live.channels;
    for (std::size_t i = 0; i < channels.size(); ++i) {
        if (source::conversion(channels[i].measures, channels[i].unit)) continue;
        draft.mistake_in(draft.instances.at("source.channel")[i], "unit",
                         fmt::format("expected {} for a {}, found \"{}\"", source::units_of(channels[i].measures),
                                     source::word(channels[i].measures), printable(channels[i].unit)));
    }
}

void drops_have_a_pair(Draft& draft, const described::Channel& c, const std::string& path) {
    Names names;
    for (const Meter& meter : draft.system.meters) names.emplace_back(meter.name);
    const auto meter =
        std::ranges::find_if(draft.system.meters, [&](const Meter& m) { return c.whose.empty() || m.name == c.whose; });
    if (meter == draft.system.meters.end())
        draft.mistake_in(path, "whose",
                         names.empty() ? "expected a [[meter]] with the shunt's rated pair, found none"
                                       : fmt::format("expected the name of a [[meter]], found \"{}\"{}",
                                                     printable(c.whose), did_you_mean(c.whose, names)));
    else if (!meter->rated_current.known())
        draft.mistake_in(path, "measures",
                         fmt::format("expected rated_current_a and rated_drop_mv of [[meter]] \"{}\" with it",
                                     printable(meter->name)));
}

void owners_exist(Draft& draft) {
    const auto& system = draft.system;
    Names chargers;
    Names appliances;
    for (const auto& c : system.equipment.chargers) chargers.emplace_back(c.name);
    for (const auto& a : system.equipment.appliances) appliances.emplace_back(a.name);
    for (std::size_t i = 0; i < system.live.channels.size(); ++i) {
        const auto& c = system.live.channels[i];
        const std::string& path = draft.instances.at("source.channel")[i];
        if (c.measures == Measurand::shunt_drop) drops_have_a_pair(draft, c, path);
        if (c.of != Subject::charger && c.of != Subject::appliance) continue;
        const bool charger = c.of == Subject::charger;
        const Names& names = charger ? chargers : appliances;
        if (std::ranges::find(names, c.whose) == names.end())
            draft.mistake_in(
                path, "whose",
                fmt::format("expected the name of a [[{}]], found \"{}\"{}", charger ? "charger" : "appliance",
                            printable(c.whose), did_you_mean(c.whose, names)));
    }
}

}  // namespace

void check_live(Draft& draft) {
    for (const auto check : {sources_make_sense, lines_have_the_fields, units_fit, owners_exist, check_devices})
        check(draft);
}

}  // namespace amphora::describe
