// What the guards answer over the recorder's socket.
#include <fmt/ranges.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <ranges>

#include "core/guard/watched.hpp"
#include "io/live/guard_watch.hpp"
#include "io/text/guard_words.hpp"
#include "io/text/json_number.hpp"

namespace amphora::live {
namespace {

using Json = nlohmann::ordered_json;

std::string_view word(guard::Phase phase) {
    switch (phase) {
        case guard::Phase::clear:
            return "clear";
        case guard::Phase::timing:
            return "timing";
        case guard::Phase::tripped:
            return "tripped";
        case guard::Phase::clearing:
            break;
    }
    return "clearing";
}

Json state_word(std::optional<bool> on) { return on ? Json(*on ? "on" : "off") : Json(nullptr); }

}  // namespace

/// Why a rule sees nothing, or how far what it sees is to be trusted; empty where there is nothing to say.
std::string GuardWatch::remark(std::size_t i) const {
    const bool blind = guards_.rule(i).blind();
    const bool believed = guard::is_believed(system_.protection.guards[i].watch);
    if (!believed) return blind ? "what it watches is not measured now" : "";
    if (!reading_past_since_) return blind ? "what it watches is not known yet" : "";
    if (!blind) return "goes by the newest days of the record until all of it is read";
    return fmt::format("waits for the record to be read, since {}",
                       settings_.days.time(reading_past_since_->us).substr(11, 8));
}

Json GuardWatch::standing() const {
    const auto& p = system_.protection;
    Json guards = Json::array();
    for (std::size_t i = 0; i < p.guards.size(); ++i) {
        const auto& rule = guards_.rule(i);
        guards.push_back({{"name", p.guards[i].name},
                          {"watch", text::watched_words(p.guards[i].watch)},
                          {"phase", word(rule.phase())},
                          {"blind", rule.blind()},
                          {"since_us", rule.tripped() && happened_[i] ? Json(happened_[i]->us) : Json(nullptr)},
                          {"remark", remark(i)},
                          {"value", text::json_number(rule.value().value())},
                          {"reads", rule.blind() ? "?" : text::level_words(p.guards[i].watch, rule.value())},
                          {"level", text::json_number(rule.trip_level().value())},
                          {"relay", p.guards[i].relay},
                          {"latches", p.guards[i].latches},
                          {"rule", text::rule_words(p.guards[i])}});
    }
    Json relays = Json::array();
    for (std::size_t i = 0; i < p.relays.size(); ++i) {
        const auto standing = relays_[i]->standing();
        relays.push_back({{"name", p.relays[i].name},
                          {"ordered", state_word(guards_.relay(i).commanded())},
                          {"commanded", state_word(standing.commanded)},
                          {"confirmed", state_word(standing.confirmed)},
                          {"safe_state", guards_.relay(i).in_safe_state()},
                          {"failures", standing.failures},
                          {"trouble", standing.trouble}});
    }
    const auto errands = [](const sink::ErrandCounts& c) {
        return Json{{"done", c.done},
                    {"waiting", c.waiting},
                    {"given_up", c.given_up},
                    {"dropped", c.dropped},
                    {"trouble", c.trouble}};
    };
    return {{"guards", guards},
            {"relays", relays},
            {"untold", teller_.untold().size()},
            {"posts", errands(teller_.counts())},
            {"programs", errands(programs_.counts())},
            {"events", past_}};
}

Json GuardWatch::clear(const Json& arguments) {
    const std::string name = arguments.value("guard", "");
    const auto& all = system_.protection.guards;
    const auto at = std::ranges::find(all, name, &described::Guard::name);
    if (at == all.end())
        return {{"cleared", false},
                {"why", fmt::format("there is no guard \"{}\"; there are: {}", name,
                                    fmt::join(all | std::views::transform(&described::Guard::name), ", "))}};
    const auto i = static_cast<std::size_t>(at - all.begin());
    if (!guards_.rule(i).tripped()) return {{"cleared", false}, {"why", fmt::format("\"{}\" is not tripped", name)}};
    guards_.clear(i, *this);
    carry_out();
    return {{"cleared", true}};
}

void GuardWatch::offer_requests(const Offer& offer) {
    offer("guards", [this](const Json&) { return standing(); });
    offer("clear_guard", [this](const Json& arguments) { return clear(arguments); });
}

}  // namespace amphora::live
