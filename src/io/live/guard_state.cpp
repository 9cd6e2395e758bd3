#include "io/live/guard_state.hpp"

#include <fstream>
#include <iterator>
#include <string_view>
#include <utility>

#include "io/live/live_json.hpp"
#include "io/text/json_number.hpp"

namespace amphora::live {
namespace {

using Json = nlohmann::ordered_json;
using guard::Owed;
using record::GuardAct;

std::string_view word(Owed owed) {
    switch (owed) {
        case Owed::trip:
            return "trip";
        case Owed::trip_and_clear:
            return "trip and clear";
        case Owed::nothing:
            break;
    }
    return "nothing";
}

Owed owed_of(const Json& said) {
    for (const Owed owed : {Owed::trip, Owed::trip_and_clear})
        if (said == word(owed)) return owed;
    return Owed::nothing;
}

Json at_us(std::optional<Instant> at) { return at ? Json(at->us) : Json(nullptr); }

std::optional<std::int64_t> whole_in(const Json& object, const char* member) {
    const auto found = object.find(member);
    if (found == object.end() || !found->is_number_integer()) return std::nullopt;
    return found->get<std::int64_t>();
}

std::string text_in(const Json& object, const char* member) {
    const auto found = object.find(member);
    return found != object.end() && found->is_string() ? found->get<std::string>() : std::string();
}

Json json_of(const KeptRule& rule) {
    return {{"guard", rule.guard},
            {"tripped", rule.memory.tripped},
            {"worst", text::json_number(rule.memory.worst.value())},
            {"at_us", at_us(rule.happened)},
            {"held_back", word(rule.memory.owed)}};
}

Json json_of(const GuardAct& act) {
    Json json = {{"at_us", act.at_us}, {"event", act.kind}};
    if (!act.guard.empty()) {
        json["guard"] = act.guard;
        json["value"] = text::json_number(act.value);
        json["worst"] = text::json_number(act.worst);
    } else {
        json["relay"] = act.relay;
        if (act.on) json["on"] = *act.on;
    }
    return json;
}

std::optional<KeptRule> rule_in(const Json& kept) {
    if (!kept.is_object() || text_in(kept, "guard").empty()) return std::nullopt;
    KeptRule rule{.guard = text_in(kept, "guard"), .memory = {}, .happened = {}};
    rule.memory.tripped = kept.contains("tripped") && kept["tripped"] == true;
    rule.memory.worst = Level(number_in(kept, "worst"));
    if (const auto owed = kept.find("held_back"); owed != kept.end()) rule.memory.owed = owed_of(*owed);
    if (const auto at = whole_in(kept, "at_us")) rule.happened = Instant{*at};
    return rule;
}

std::optional<GuardAct> act_in(const Json& kept) {
    if (!kept.is_object()) return std::nullopt;
    const auto at = whole_in(kept, "at_us");
    GuardAct act{.kind = text_in(kept, "event"), .guard = text_in(kept, "guard"), .relay = text_in(kept, "relay")};
    if (!at || act.kind.empty() || act.guard.empty() == act.relay.empty()) return std::nullopt;
    act.at_us = *at;
    if (const auto on = kept.find("on"); on != kept.end() && on->is_boolean()) act.on = on->get<bool>();
    act.value = number_in(kept, "value");
    act.worst = number_in(kept, "worst");
    return act;
}

/// Calls `take` with each of a list, if there is one of that name.
void each(const Json& state, const char* member, const auto& take) {
    if (const auto list = state.find(member); list != state.end() && list->is_array())
        for (const Json& kept : *list) take(kept);
}

GuardState state_of(const Json& json) {
    GuardState state;
    each(json, "rules", [&](const Json& kept) {
        if (auto rule = rule_in(kept)) state.rules.push_back(std::move(*rule));
    });
    each(json, "tripped", [&](const Json& name) {  // until 0.1
        if (auto rule = rule_in({{"guard", name}, {"tripped", true}})) state.rules.push_back(std::move(*rule));
    });
    each(json, "acts", [&](const Json& kept) {
        if (auto act = act_in(kept)) state.acts.push_back(std::move(*act));
    });
    each(json, "untold", [&](const Json& word) { state.untold.push_back(word); });
    return state;
}

}  // namespace

std::string text_of(const GuardState& state) {
    Json json = {{"rules", Json::array()}, {"acts", Json::array()}, {"untold", state.untold}};
    for (const KeptRule& rule : state.rules) json["rules"].push_back(json_of(rule));
    for (const GuardAct& act : state.acts) json["acts"].push_back(json_of(act));
    return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

GuardState guard_state_in(const std::filesystem::path& file) {
    std::ifstream in(file);
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    const Json whole = Json::parse(text, nullptr, false);
    if (whole.is_object()) return state_of(whole);
    std::string_view rest = text;
    while (!rest.empty()) {
        const auto before = rest.find_last_of('\n');
        const auto line = before == std::string_view::npos ? rest : rest.substr(before + 1);
        const Json json = Json::parse(line, nullptr, false);
        if (json.is_object()) return state_of(json);
        rest = before == std::string_view::npos ? std::string_view() : rest.substr(0, before);
    }
    return {};
}

}  // namespace amphora::live
