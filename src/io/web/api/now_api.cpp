#include "io/web/api/now_api.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <string_view>
#include <vector>

#include "io/describe/chemistry_defaults.hpp"
#include "io/text/evidence_word.hpp"
#include "io/web/api/figure_json.hpp"

namespace amphora::web {
namespace {

using namespace decimals;

Json range(const TimeRange& r) {
    if (!r.is_known()) return nullptr;
    return {{"low", number(r.low.value(), second)},
            {"likely", number(r.likely.value(), second)},
            {"high", number(r.high.value(), second)}};
}

Json system_json(const System& system) {
    return {{"name", system.name},
            {"nominal_voltage_v", number(system.nominal_voltage.value(), volt)},
            {"chemistry", describe::defaults_of(system.battery.chemistry).word},
            {"design_capacity_ah", number(system.battery.design_capacity.value(), ah)},
            {"reserve", number(system.battery.reserve.value(), share)}};
}

Json full_json(const std::optional<SinceFull>& full) {
    if (!full) return nullptr;
    return {{"at", moment(full->at)},
            {"out_since_ah", number(full->since.out.value(), ah)},
            {"in_since_ah", number(full->since.in.value(), ah)}};
}

Json flows_json(const std::vector<Flow>& flows) {
    Json list = Json::array();
    for (const Flow& flow : flows)
        list.push_back({{"name", flow.name}, {"current_a", number(flow.current.value(), ampere)}});
    return list;
}

Json estimate_json(const Estimate& e) {
    return {{"state_of_charge", uncertain(e.state_of_charge, share)},
            {"remaining_ah", uncertain(e.remaining, ah)},
            {"full_charge_capacity_ah", uncertain(e.full_charge_capacity, ah)},
            {"meter_offset_a", uncertain(e.meter_offset, ampere)},
            {"current_a", number(e.current.value(), ampere)},
            {"voltage_v", number(e.voltage.value(), volt)},
            {"power_w", number(e.power.value(), watt)},
            {"temperature_c", number(e.temperature.value(), degree)},
            {"time_to_empty_s", range(e.to_empty)},
            {"time_to_full_s", range(e.to_full)},
            {"evidence",
             {{"kind", text::evidence_word(e.evidence.kind)},
              {"at", e.evidence.kind == Evidence::none ? Json(nullptr) : moment(e.evidence.at)},
              {"out_since_ah", number(e.evidence.out_since.value(), ah)},
              {"in_since_ah", number(e.evidence.in_since.value(), ah)}}}};
}

// What the record says when nothing is being measured: its newest reading, and how old it is.
std::optional<Present> from_record(const Desk& desk) {
    const auto* book = desk.past.book();
    if (book == nullptr) return std::nullopt;
    const auto newest = book->newest();
    if (!newest) return std::nullopt;
    Present present;
    present.estimate = *newest;
    const std::chrono::duration<double> now = std::chrono::system_clock::now().time_since_epoch();
    present.age = Second(std::max(0.0, now.count() - newest->at.unix_seconds()));
    present.fresh_for = Second(120);
    return present;
}

}  // namespace

std::optional<Present> present_of(const Desk& desk) {
    if (auto present = desk.live.present()) return present;
    return from_record(desk);
}

std::string present_json(const Desk& desk) {
    const auto present = present_of(desk);
    const auto extent = desk.past.extent();
    Json answer{{"system", system_json(desk.live.system())}, {"measured", present.has_value()}};
    answer["beginning"] = extent ? moment(Instant{extent->from_us}) : Json(nullptr);
    answer["troubles"] = desk.live.troubles();
    if (!present) return text_of(answer);
    answer["at"] = moment(present->estimate.at);
    answer["age_s"] = number(present->age.value(), 3);
    answer["fresh_for_s"] = number(present->fresh_for.value(), 3);
    answer["demonstration_speed"] = number(present->demonstration_speed.value_or(std::nan("")), 3);
    answer.update(estimate_json(present->estimate));
    answer["last_full"] = full_json(present->full);
    answer["flows"] = flows_json(present->flows);
    return text_of(answer);
}

void add_now_api(Routes& routes, const Desk& desk, EventChannel& events) {
    routes.get("/api/v1/now", [&desk](const Request&) { return json(present_json(desk) + "\n"); });
    routes.events("/api/v1/stream", events);
}

}  // namespace amphora::web
