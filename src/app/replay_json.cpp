#include "app/replay_json.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

#include "io/text/evidence_word.hpp"
#include "io/text/json_number.hpp"

namespace amphora::app {
namespace {

using Json = nlohmann::ordered_json;

template <class Q>
Json uncertain(const Uncertain<Q>& figure) {
    return {{"mean", text::json_number(figure.mean.value())}, {"sd", text::json_number(figure.sd.value())}};
}

Json range(const TimeRange& time) {
    if (!time.is_known()) return nullptr;
    return {{"low", text::json_number(time.low.value())},
            {"likely", text::json_number(time.likely.value())},
            {"high", text::json_number(time.high.value())}};
}

Json evidence(const LastEvidence& last) {
    if (last.kind == Evidence::none) return nullptr;
    return {{"kind", text::evidence_word(last.kind)},
            {"at", last.at.unix_seconds()},
            {"out_since_ah", text::json_number(last.out_since.value())},
            {"in_since_ah", text::json_number(last.in_since.value())}};
}

Json log(const ReplayResult& result) {
    Json bad = Json::array();
    for (const auto& line : result.log.first_bad)
        bad.push_back({{"line", line.number}, {"message", bad_line_words(line)}});
    return {{"first", result.first.unix_seconds()},
            {"last", result.last.unix_seconds()},
            {"readings", result.log.readings},
            {"bad_lines", result.log.bad},
            {"first_bad_lines", bad},
            {"notes", result.log.notes}};
}

Json oddities(const Oddities& o) {
    return {{"current_missing", o.current_missing},
            {"voltage_missing", o.voltage_missing},
            {"temperature_missing", o.temperature_missing},
            {"duplicate_time", o.duplicate_time},
            {"backward_time", o.backward_time},
            {"gaps", o.gaps},
            {"gap_time_s", text::json_number(o.gap_time.value())},
            {"stuck", o.stuck},
            {"out_of_range", o.out_of_range}};
}

Json end(const Estimate& e) {
    return {{"time_utc", e.at.unix_seconds()},
            {"state_of_charge", uncertain(e.state_of_charge)},
            {"remaining_ah", uncertain(e.remaining)},
            {"full_charge_capacity_ah", uncertain(e.full_charge_capacity)},
            {"meter_offset_a", uncertain(e.meter_offset)},
            {"current_a", text::json_number(e.current.value())},
            {"voltage_v", text::json_number(e.voltage.value())},
            {"temperature_c", text::json_number(e.temperature.value())},
            {"power_w", text::json_number(e.power.value())},
            {"time_to_empty_s", range(e.to_empty)},
            {"time_to_full_s", range(e.to_full)},
            {"evidence", evidence(e.evidence)}};
}

Json honesty(const ReplayResult& result) {
    if (!result.honesty || result.honesty->moments() == 0) return nullptr;
    const auto& h = *result.honesty;
    return {{"from", result.honesty_from.unix_seconds()},
            {"moments", h.moments()},
            {"rms", text::json_number(h.rms().value())},
            {"inside_90_band", text::json_number(h.inside_band().value())},
            {"mean_half_90_band", text::json_number(h.mean_half_band().value())},
            {"widest_error", text::json_number(h.widest().error.value())},
            {"widest_at", h.widest().at.unix_seconds()}};
}

}  // namespace

std::string replay_json(const ReplayResult& result, const System& system) {
    const Json all{{"system", system.name},  {"warnings", result.warnings},
                   {"log", log(result)},     {"oddities", oddities(result.oddities)},
                   {"end", end(result.end)}, {"forward_against_hindsight", honesty(result)}};
    return all.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace amphora::app
