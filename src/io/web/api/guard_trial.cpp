#include "io/web/api/guard_trial.hpp"

#include <algorithm>
#include <utility>

#include "core/pipeline/guard_replay.hpp"
#include "io/text/guard_words.hpp"
#include "io/web/api/body_json.hpp"

namespace amphora::web {
namespace {

constexpr std::int64_t longest_us = 366 * ledger::day_us;
constexpr std::int64_t warm_up_us = 30 * ledger::day_us;  // what the estimate needs to know of the past
constexpr std::size_t most_trips = 200;

Json trip_json(const Trip& trip, const Protection& protection) {
    const auto& guard = protection.guards[trip.rule];
    return {{"guard", guard.name},
            {"at", moment(trip.at)},
            {"until", moment(trip.until)},
            {"lasts", trip.lasts},
            {"worst", text::level_words(guard.watch, trip.worst)},
            {"voltage_v", number(trip.seen.voltage.value(), decimals::volt)},
            {"current_a", number(trip.seen.current.value(), decimals::ampere)},
            {"temperature_c", number(trip.seen.temperature.value(), decimals::degree)},
            {"state_of_charge", uncertain(trip.state_of_charge, decimals::share)}};
}

Json outcome_json(const GuardReplay& replay, const Protection& protection, record::Span span) {
    Json trips = Json::array();
    std::size_t left_out = 0;
    for (const Trip& trip : replay.trips()) {
        if (trip.until.us < span.from_us) continue;
        if (trips.size() < most_trips) {
            trips.push_back(trip_json(trip, protection));
        } else {
            ++left_out;
        }
    }
    Json nearest = Json::array();
    for (std::size_t i = 0; i < replay.nearest().size(); ++i) {
        const auto& near = replay.nearest()[i];
        const auto& guard = protection.guards[i];
        nearest.push_back(
            {{"guard", guard.name},
             {"rule", text::rule_words(guard)},
             {"value", near.value.known() ? Json(text::level_words(guard.watch, near.value)) : Json(nullptr)},
             {"at", near.value.known() ? moment(near.at) : Json(nullptr)}});
    }
    return {{"from", moment(Instant{span.from_us})},
            {"to", moment(Instant{span.to_us})},
            {"trips", trips},
            {"left_out", left_out},
            {"nearest", nearest}};
}

Outcome try_guards(const System& system, const std::filesystem::path& file, record::Span span, const Tell& tell) {
    const auto reader = record::Reader::open(file);
    if (!reader) return {false, nullptr, reader.error().message};
    GuardReplay replay(system);
    const std::int64_t begin = span.from_us - warm_up_us;
    std::int64_t hour = -1;
    const auto visited =
        reader->visit({begin, span.to_us}, [&](const ledger::Columns& c, std::size_t i, std::size_t end) {
            for (; i < end; ++i) {
                if (c.time_us[i] / ledger::hour_us != hour) {
                    hour = c.time_us[i] / ledger::hour_us;
                    replay.set_zone_offset(reader->days().ahead(c.time_us[i]));
                }
                replay.push(c.reading(i));
            }
            tell(static_cast<double>(c.time_us[end - 1] - begin) / static_cast<double>(span.to_us - begin));
        });
    if (!visited) return {false, nullptr, visited.error().message};
    replay.finish();
    return {true, outcome_json(replay, system.protection, span), "The span was run against the rules."};
}

Response begin(Desk& desk, const Request& request) {
    const auto body = object_of(request.body);
    const auto moment_in = [&](const char* name) -> std::optional<std::int64_t> {
        const auto found = body ? body->find(name) : Json::const_iterator{};
        if (!body || found == body->end() || !found->is_number()) return std::nullopt;
        return Instant::from_unix(std::clamp(found->get<double>(), -1e11, 1e11)).us;
    };
    const auto from = moment_in("from");
    const auto to = moment_in("to");
    if (!from || !to || *from >= *to)
        return problem(400, "Send {\"from\": ..., \"to\": ...}: moments in Unix seconds, from before to.");
    if (*to - *from > longest_us) return problem(400, "That is more than is tried at once: at most a year.");
    const auto described = describe::describe_text(desk.description.text());
    if (!described) return problem(422, "The description has mistakes: correct them first (/api/v1/description).");
    if (described->system.protection.guards.empty())
        return problem(422, "No [[guard]] is described, so there is nothing to try.");
    if (desk.past.reader() == nullptr) return problem(404, "There is no record yet.");
    const record::Span span{*from, *to};
    const bool could =
        desk.work.begin("replay", [system = described->system, file = desk.past.file(), span](const Tell& tell) {
            return try_guards(system, file, span, tell);
        });
    if (!could) return problem(409, "Something else is being done (see /api/v1/work): try again when it has ended.");
    Response response = answer_with({{"begun", true}});
    response.status = 202;
    return response;
}

}  // namespace

void add_guard_trial_api(Routes& routes, Desk& desk) {
    routes.post("/api/v1/guards/replay", [&desk](const Request& request) { return begin(desk, request); },
                {.access = Access::look});
}

}  // namespace amphora::web
