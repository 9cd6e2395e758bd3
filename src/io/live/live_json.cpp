#include "io/live/live_json.hpp"

#include <cmath>
#include <limits>
#include <utility>

#include "io/source/channel_unit.hpp"
#include "io/text/evidence_word.hpp"
#include "io/text/json_number.hpp"

namespace amphora::live {
namespace {

template <class Q>
Json uncertain(const Uncertain<Q>& u) {
    return {{"mean", text::json_number(u.mean.value())}, {"sd", text::json_number(u.sd.value())}};
}

template <class Q>
Uncertain<Q> uncertain_in(const Json& object, const char* member) {
    const auto found = object.find(member);
    if (found == object.end()) return {Q::missing(), Q::missing()};
    return {Q(number_in(*found, "mean")), Q(number_in(*found, "sd"))};
}

/// Times that never come are infinite inside and "never" here: JSON has no infinity.
Json time_figure(Second time) { return std::isinf(time.value()) ? Json("never") : text::json_number(time.value()); }

Json range(const TimeRange& r) {
    return {{"low", time_figure(r.low)}, {"likely", time_figure(r.likely)}, {"high", time_figure(r.high)}};
}

Second time_in(const Json& object, const char* member) {
    const auto found = object.find(member);
    if (found != object.end() && found->is_string()) return Second(std::numeric_limits<double>::infinity());
    return Second(number_in(object, member));
}

TimeRange range_in(const Json& object, const char* member) {
    const auto found = object.find(member);
    if (found == object.end()) return {};
    return {time_in(*found, "low"), time_in(*found, "likely"), time_in(*found, "high")};
}

Json moment(std::optional<Instant> at) { return at ? Json(at->us) : Json(nullptr); }

Instant moment_in(const Json& object, const char* member) {
    const auto found = object.find(member);
    return found != object.end() && found->is_number_integer() ? Instant{found->get<std::int64_t>()} : Instant{};
}

}  // namespace

double number_in(const Json& object, const char* member) {
    if (!object.is_object()) return std::numeric_limits<double>::quiet_NaN();
    const auto found = object.find(member);
    return found != object.end() && found->is_number() ? found->get<double>()
                                                       : std::numeric_limits<double>::quiet_NaN();
}

Json to_json(const Estimate& e) {
    return {{"at_us", e.at.us},
            {"state_of_charge", uncertain(e.state_of_charge)},
            {"remaining_ah", uncertain(e.remaining)},
            {"full_charge_capacity_ah", uncertain(e.full_charge_capacity)},
            {"meter_offset_a", uncertain(e.meter_offset)},
            {"current_a", text::json_number(e.current.value())},
            {"voltage_v", text::json_number(e.voltage.value())},
            {"temperature_c", text::json_number(e.temperature.value())},
            {"time_to_empty_s", range(e.to_empty)},
            {"time_to_full_s", range(e.to_full)},
            {"evidence",
             {{"kind", text::evidence_word(e.evidence.kind)},
              {"at_us", e.evidence.at.us},
              {"out_since_ah", text::json_number(e.evidence.out_since.value())},
              {"in_since_ah", text::json_number(e.evidence.in_since.value())}}}};
}

Estimate estimate_from(const Json& json) {
    Estimate e;
    if (!json.is_object()) return e;
    e.at = moment_in(json, "at_us");
    e.state_of_charge = uncertain_in<Fraction>(json, "state_of_charge");
    e.remaining = uncertain_in<AmpHour>(json, "remaining_ah");
    e.full_charge_capacity = uncertain_in<AmpHour>(json, "full_charge_capacity_ah");
    e.meter_offset = uncertain_in<Ampere>(json, "meter_offset_a");
    e.current = Ampere(number_in(json, "current_a"));
    e.voltage = Volt(number_in(json, "voltage_v"));
    e.temperature = Celsius(number_in(json, "temperature_c"));
    e.power = e.voltage * e.current;
    e.to_empty = range_in(json, "time_to_empty_s");
    e.to_full = range_in(json, "time_to_full_s");
    if (const auto evidence = json.find("evidence"); evidence != json.end() && evidence->is_object()) {
        e.evidence.kind = text::evidence_of(evidence->value("kind", ""));
        e.evidence.at = moment_in(*evidence, "at_us");
        e.evidence.out_since = AmpHour(number_in(*evidence, "out_since_ah"));
        e.evidence.in_since = AmpHour(number_in(*evidence, "in_since_ah"));
    }
    return e;
}

Json to_json(const std::optional<SinceFull>& full) {
    if (!full) return nullptr;
    return {{"at_us", full->at.us},
            {"out_since_ah", text::json_number(full->out.value())},
            {"in_since_ah", text::json_number(full->in.value())}};
}

std::optional<SinceFull> since_full_from(const Json& json) {
    if (!json.is_object()) return std::nullopt;
    return SinceFull{moment_in(json, "at_us"), AmpHour(number_in(json, "in_since_ah")),
                     AmpHour(number_in(json, "out_since_ah"))};
}

Json to_json(const described::Source& source, const SourceHealth& health, std::optional<Instant> last) {
    return {{"name", source.name},
            {"kind", word(source.kind)},
            {"state", word(health.state)},
            {"last_us", moment(last)},
            {"every_s", source.interval.value()},
            {"silent_after_s", source.patience().value()},
            {"readings", health.readings},
            {"refused", health.refused},
            {"gaps", health.gaps},
            {"errors", health.errors},
            {"reconnects", health.reconnects},
            {"trouble", health.trouble}};
}

Json to_json(const guard::Seen& seen) {
    Json json{{"measures", source::word(seen.measures)}, {"of", word(seen.of)}};
    if (!seen.whose.empty()) json["whose"] = seen.whose;
    if (seen.measures == Measurand::cell_voltage) json["cell"] = seen.cell;
    json["source"] = seen.source;
    json["value"] = seen.age.known() ? text::json_number(seen.value) : Json(nullptr);
    json["unit"] = source::own_unit(seen.measures);
    json["age_s"] = text::json_number(seen.age.value());
    json["silent"] = seen.silent;
    return json;
}

Json to_json(const RecordHealth& health) {
    return {{"taken", health.taken}, {"safe", health.safe}, {"trouble", health.trouble}};
}

}  // namespace amphora::live
