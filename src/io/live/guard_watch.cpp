#include "io/live/guard_watch.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <fstream>
#include <nlohmann/json.hpp>
#include <thread>

#include "io/live/modbus_wire.hpp"
#include "io/live/mqtt_relay.hpp"
#include "io/sink/http_post.hpp"
#include "io/sink/output_file.hpp"
#include "io/sink/program_run.hpp"
#include "io/sink/threaded_relay.hpp"
#include "io/text/guard_words.hpp"
#include "io/text/json_number.hpp"

namespace amphora::live {
namespace {

using Json = nlohmann::ordered_json;
using described::NoticeKind;
using described::RelayKind;
using described::WhenBlind;
using guard::Event;
using guard::EventKind;

constexpr std::chrono::milliseconds look_every{1000};
constexpr std::size_t most_past = 200;

bool needs_broker(const Protection& p) {
    return std::ranges::any_of(p.relays, [](const auto& r) { return r.kind == RelayKind::mqtt; }) ||
           std::ranges::any_of(p.notices, [](const auto& n) { return n.kind == NoticeKind::mqtt; });
}

std::unique_ptr<sink::Relay> relay_for(const described::Relay& settings, BrokerLink* broker) {
    switch (settings.kind) {
        case RelayKind::gpio:
            return std::make_unique<sink::ThreadedRelay>(sink::gpio_wire(settings), look_every);
        case RelayKind::modbus:
            return std::make_unique<sink::ThreadedRelay>(modbus_wire(settings), look_every);
        case RelayKind::mqtt:
            return std::make_unique<MqttRelay>(*broker, settings);
        case RelayKind::rehearsal:
            break;
    }
    return sink::rehearsal_relay();
}

std::string_view word(EventKind kind) {
    switch (kind) {
        case EventKind::tripped:
            return "tripped";
        case EventKind::cleared:
            return "cleared";
        case EventKind::notice_tripped:
        case EventKind::notice_cleared:
            return "told";
        case EventKind::relay_ordered:
            return "ordered";
        case EventKind::relay_blind:
            return "blind";
        case EventKind::relay_sees:
            return "sees";
        case EventKind::relay_refuses:
            return "refuses";
        case EventKind::relay_confirmed:
            break;
    }
    return "confirmed";
}

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

bool of_rule(EventKind kind) { return kind <= EventKind::notice_cleared; }

}  // namespace

GuardWatch::GuardWatch(boost::asio::io_context& loop, const System& system, GuardSettings settings)
    : system_(system), settings_(std::move(settings)), guards_(system.protection) {
    if (needs_broker(system.protection)) broker_ = std::make_unique<BrokerLink>(loop, system.live.broker);
    for (const auto& relay : system.protection.relays) relays_.push_back(relay_for(relay, broker_.get()));
    restore_state();
}

GuardWatch::~GuardWatch() = default;

void GuardWatch::look(const guard::Situation& situation) {
    constexpr std::int64_t hour_us = 3'600'000'000;
    utc_ = situation.utc;
    looked_ = situation.now;
    if (utc_ && utc_->us / hour_us != offset_hour_) {
        offset_hour_ = utc_->us / hour_us;
        guards_.set_zone_offset(settings_.days.ahead(utc_->us));
    }
    for (std::size_t i = 0; i < relays_.size(); ++i) guards_.confirm(i, relays_[i]->standing().confirmed);
    guards_.look(situation, *this);
}

void GuardWatch::on(const Event& event) {
    if (event.kind == EventKind::relay_ordered) relays_[event.index]->order(event.on);
    if (event.kind == EventKind::notice_tripped) send(event, true);
    if (event.kind == EventKind::notice_cleared) send(event, false);
    if (event.kind == EventKind::tripped || event.kind == EventKind::cleared) keep_state();
    keep(event);
    Json told = {{"at_us", utc_ ? Json(utc_->us) : Json(nullptr)}, {"event", word(event.kind)}};
    if (of_rule(event.kind)) {
        told["guard"] = system_.protection.guards[event.index].name;
        told["value"] = json_number(event.value.value());
        told["worst"] = json_number(event.worst.value());
    } else {
        told["relay"] = system_.protection.relays[event.index].name;
        told["to"] = event.on ? "on" : "off";
    }
    past_.push_back(std::move(told));
    if (past_.size() > most_past) past_.pop_front();
}

void GuardWatch::keep(const Event& event) const {
    if (!keep_act_) return;
    record::GuardAct act{.kind = std::string(word(event.kind))};
    if (of_rule(event.kind)) {
        act.guard = system_.protection.guards[event.index].name;
        act.value = event.value.value();
        act.worst = event.worst.value();
    } else {
        act.relay = system_.protection.relays[event.index].name;
        act.on = event.on;
    }
    keep_act_(event.at, std::move(act));
}

std::string GuardWatch::text_of(const Event& event, bool tripped) const {
    const auto& g = system_.protection.guards[event.index];
    const auto watched = text::watched_words(g.watch);
    if (tripped)
        return fmt::format("{}: {}. The {} is {}, at worst {}; it trips {} {}.", system_.name, g.name, watched,
                           text::level_words(g.watch, event.value), text::level_words(g.watch, event.worst),
                           g.trip_below.known() ? "below" : "above", text::level_words(g.watch, event.level));
    return fmt::format("{}: {} is over. The {} is {} again; it was {} at worst.", system_.name, g.name, watched,
                       text::level_words(g.watch, event.value), text::level_words(g.watch, event.worst));
}

void GuardWatch::send(const Event& event, bool tripped) {
    const auto& g = system_.protection.guards[event.index];
    const std::string what = tripped ? "tripped" : "cleared";
    const Json message = {{"system", system_.name},
                          {"guard", g.name},
                          {"event", what},
                          {"watch", text::watched_words(g.watch)},
                          {"value", json_number(event.value.value())},
                          {"worst", json_number(event.worst.value())},
                          {"level", json_number(event.level.value())},
                          {"at_us", utc_ ? Json(utc_->us) : Json(nullptr)},
                          {"text", text_of(event, tripped)}};
    const std::string body = message.dump(-1, ' ', false, Json::error_handler_t::replace);
    for (const auto& name : g.notices) {
        const auto& notice = *std::ranges::find(system_.protection.notices, name, &described::Notice::name);
        if (notice.kind == NoticeKind::mqtt)
            broker_->post(notice.to, body);
        else
            posts_.add([post = sink::HttpPost{.url = notice.to, .body = body, .token_file = notice.token_file}](
                           const std::stop_token& stop) { return sink::post(post, stop); });
    }
    if (g.run.empty()) return;
    const auto limit = std::chrono::milliseconds(static_cast<std::int64_t>(g.run_limit.value() * 1e3));
    const sink::ProgramRun run{.words = g.run,
                               .surroundings = {{"AMPHORA_SYSTEM", system_.name},
                                                {"AMPHORA_GUARD", g.name},
                                                {"AMPHORA_EVENT", what},
                                                {"AMPHORA_VALUE", fmt::format("{:.6g}", event.value.value())},
                                                {"AMPHORA_TEXT", text_of(event, tripped)}},
                               .limit = limit};
    programs_.add([run](const std::stop_token& stop) { return sink::run(run, stop); });
}

// By name, so that a description that was changed meanwhile does not give one rule the state of another.
void GuardWatch::keep_state() {
    if (settings_.state.empty()) return;
    keeping_->add([file = settings_.state.string(),
                   text = state()](const std::stop_token&) -> std::expected<void, sink::ErrandFailure> {
        const auto written = sink::replace_file(file, text);
        if (!written) return std::unexpected(sink::ErrandFailure{written.error().message, true});
        return {};
    });
}

std::string GuardWatch::state() const {
    Json tripped = Json::array();
    for (std::size_t i = 0; i < system_.protection.guards.size(); ++i)
        if (guards_.rule(i).tripped()) tripped.push_back(system_.protection.guards[i].name);
    return Json{{"tripped", tripped}}.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

void GuardWatch::restore_state() {
    std::ifstream in(settings_.state);
    const Json state = Json::parse(in, nullptr, false);
    if (!state.is_object() || !state.contains("tripped") || !state["tripped"].is_array()) return;
    for (const auto& name : state["tripped"])
        for (std::size_t i = 0; i < system_.protection.guards.size(); ++i)
            if (name.is_string() && system_.protection.guards[i].name == name.get<std::string>())
                guards_.restore_tripped(i);
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
                          {"value", json_number(rule.value().value())},
                          {"level", json_number(rule.trip_level().value())},
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
            {"posts", errands(posts_.counts())},
            {"programs", errands(programs_.counts())},
            {"events", past_}};
}

Json GuardWatch::clear(const Json& arguments) {
    const std::string name = arguments.value("guard", "");
    const auto& all = system_.protection.guards;
    const auto at = std::ranges::find(all, name, &described::Guard::name);
    if (at == all.end()) return {{"cleared", false}, {"why", fmt::format("there is no guard \"{}\"", name)}};
    const auto i = static_cast<std::size_t>(at - all.begin());
    if (!guards_.rule(i).tripped()) return {{"cleared", false}, {"why", fmt::format("\"{}\" is not tripped", name)}};
    guards_.clear(i, *this);
    return {{"cleared", true}};
}

void GuardWatch::offer_requests(const Offer& offer) {
    offer("guards", [this](const Json&) { return standing(); });
    offer("clear_guard", [this](const Json& arguments) { return clear(arguments); });
}

void GuardWatch::end() {
    using std::chrono::steady_clock;
    const auto safe = [this](std::size_t i) -> std::optional<bool> {
        const auto when = system_.protection.relays[i].when_blind;
        if (when == WhenBlind::hold) return std::nullopt;
        return when == WhenBlind::on;
    };
    for (std::size_t i = 0; i < relays_.size(); ++i)
        if (const auto at = safe(i)) on({.at = looked_, .kind = EventKind::relay_ordered, .index = i, .on = *at});
    const auto until = steady_clock::now() + std::chrono::seconds(1);
    const auto all_done = [&] {
        for (std::size_t i = 0; i < relays_.size(); ++i)
            if (const auto on = safe(i); on && relays_[i]->standing().commanded != on) return false;
        return true;
    };
    while (!all_done() && steady_clock::now() < until) std::this_thread::sleep_for(std::chrono::milliseconds(5));
    // What still waits to be kept would be dropped: the newest is written here.
    keeping_.reset();
    if (!settings_.state.empty()) (void)sink::replace_file(settings_.state.string(), state());
}

}  // namespace amphora::live
