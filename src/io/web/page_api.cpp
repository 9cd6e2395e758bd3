#include "io/web/page_api.hpp"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <span>
#include <string_view>
#include <vector>

namespace amphora::web {
namespace {

using Json = nlohmann::ordered_json;

// A number with no more digits than anyone can use, or null for one that is not known or never comes.
Json number(double value, int decimals) {
    if (!std::isfinite(value)) return nullptr;
    const double scale = std::pow(10.0, decimals);
    return std::round(value * scale) / scale + 0.0;  // + 0.0: no negative zero
}

constexpr int share = 4, ampere = 3, volt = 3, ah = 2, second = 0, degree = 1, watt = 1;

template <class Q>
Json uncertain(const Uncertain<Q>& figure, int decimals) {
    return {{"mean", number(figure.mean.value(), decimals)}, {"sd", number(figure.sd.value(), decimals)}};
}

Json range(const TimeRange& r) {
    return {{"low", number(r.low.value(), second)},
            {"likely", number(r.likely.value(), second)},
            {"high", number(r.high.value(), second)}};
}

Json moment(Instant at) { return number(at.unix_seconds(), 3); }

std::string_view word(Evidence kind) {
    switch (kind) {
        case Evidence::none:
            return "none";
        case Evidence::full:
            return "full";
        case Evidence::empty:
            return "empty";
        case Evidence::rest_voltage:
            return "rest_voltage";
        case Evidence::voltage_under_load:
            break;
    }
    return "voltage_under_load";
}

std::string_view word(Chemistry chemistry) {
    switch (chemistry) {
        case Chemistry::lfp:
            return "lfp";
        case Chemistry::agm:
            return "agm";
        case Chemistry::gel:
            return "gel";
        case Chemistry::flooded:
            return "flooded";
        case Chemistry::nmc:
            return "nmc";
        case Chemistry::nca:
            return "nca";
        case Chemistry::lto:
            break;
    }
    return "lto";
}

Json system_json(const System& system) {
    return {{"name", system.name},
            {"nominal_voltage_v", number(system.nominal_voltage.value(), volt)},
            {"chemistry", word(system.battery.chemistry)},
            {"design_capacity_ah", number(system.battery.design_capacity.value(), ah)},
            {"reserve", number(system.battery.reserve.value(), share)}};
}

Json full_json(const std::optional<SinceFull>& full) {
    if (!full) return nullptr;
    return {{"at", moment(full->at)},
            {"out_since_ah", number(full->since.out.value(), ah)},
            {"in_since_ah", number(full->since.in.value(), ah)}};
}

// One column of the answer: a number for each bucket.
template <class Take>
Json column(std::span<const Bucket> buckets, int decimals, Take take) {
    Json values = Json::array();
    for (const Bucket& bucket : buckets) values.push_back(number(take(bucket).value(), decimals));
    return values;
}

Json series_json(Instant from, Instant to, std::span<const Bucket> b) {
    Json at = Json::array();
    for (const Bucket& bucket : b) at.push_back(moment(bucket.from));
    return {{"from", moment(from)},
            {"to", moment(to)},
            {"at", std::move(at)},
            {"state_of_charge", column(b, share, [](const Bucket& x) { return x.state_of_charge.mean; })},
            {"state_of_charge_sd", column(b, share, [](const Bucket& x) { return x.state_of_charge.sd; })},
            {"hindsight_state_of_charge", column(b, share, [](const Bucket& x) { return x.hindsight.mean; })},
            {"hindsight_state_of_charge_sd", column(b, share, [](const Bucket& x) { return x.hindsight.sd; })},
            {"current_low_a", column(b, ampere, [](const Bucket& x) { return x.current_low; })},
            {"current_a", column(b, ampere, [](const Bucket& x) { return x.current; })},
            {"current_high_a", column(b, ampere, [](const Bucket& x) { return x.current_high; })},
            {"voltage_v", column(b, volt, [](const Bucket& x) { return x.voltage; })},
            {"in_ah", column(b, ampere, [](const Bucket& x) { return x.moved.in; })},
            {"out_ah", column(b, ampere, [](const Bucket& x) { return x.moved.out; })}};
}

constexpr int most_buckets = 2000;
constexpr double latest_moment = 253402300799.0;  // the end of the year 9999

Response series(const PageSource& source, const Query& query) {
    for (const std::string_view name : {"from", "to", "buckets"}) {
        if (query.find(name) && !query.number(name)) return problem(400, "from, to and buckets are plain numbers.");
    }
    const double now = source.present().estimate.at.unix_seconds();
    const double to = query.number("to").value_or(now);
    const double from = query.number("from").value_or(to - 86400.0);
    const double buckets = query.number("buckets").value_or(288.0);
    if (!(from < to) || std::abs(from) > latest_moment || std::abs(to) > latest_moment) {
        return problem(400, "from and to are moments in Unix seconds, from before to.");
    }
    if (buckets < 1 || buckets > most_buckets || buckets != std::floor(buckets)) {
        return problem(400, "buckets is a whole number from 1 to 2000.");
    }
    const Instant first = Instant::from_unix(from);
    const Instant last = Instant::from_unix(to);
    return json(series_json(first, last, source.series(first, last, static_cast<int>(buckets))).dump() + "\n");
}

}  // namespace

std::string present_json(const PageSource& source) {
    const Present present = source.present();
    const Estimate& e = present.estimate;
    const Json answer{
        {"system", system_json(source.system())},
        {"at", moment(e.at)},
        {"age_s", number(present.age.value(), 3)},
        {"fresh_for_s", number(present.fresh_for.value(), 3)},
        {"demonstration_speed", number(present.demonstration_speed.value_or(std::nan("")), 3)},
        {"beginning", moment(source.beginning())},
        {"state_of_charge", uncertain(e.state_of_charge, share)},
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
         {{"kind", word(e.evidence.kind)},
          {"at", e.evidence.kind == Evidence::none ? Json(nullptr) : moment(e.evidence.at)},
          {"out_since_ah", number(e.evidence.out_since.value(), ah)},
          {"in_since_ah", number(e.evidence.in_since.value(), ah)}}},
        {"last_full", full_json(present.full)},
    };
    // A name from a description need not be UTF-8 in full: what is not is replaced.
    return answer.dump(-1, ' ', false, Json::error_handler_t::replace);
}

void add_page_api(Routes& routes, const PageSource& source, EventChannel& events) {
    routes.get("/api/v1/now", [&source](const Request&) { return json(present_json(source) + "\n"); });
    routes.get("/api/v1/series", [&source](const Request& request) { return series(source, request.query); });
    routes.events("/api/v1/events", events);
}

}  // namespace amphora::web
