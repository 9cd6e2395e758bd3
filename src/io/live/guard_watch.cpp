#include "io/live/guard_watch.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <fstream>
#include <nlohmann/json.hpp>
#include <thread>

#include "io/live/live_json.hpp"
#include "io/live/modbus_wire.hpp"
#include "io/live/mqtt_relay.hpp"
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
using guard::Owed;

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

bool of_rule(EventKind kind) { return kind <= EventKind::notice_cleared; }

}  // namespace

GuardWatch::GuardWatch(boost::asio::io_context& loop, const System& system, GuardSettings settings)
    : system_(system),
      settings_(std::move(settings)),
      guards_(system.protection),
      broker_(needs_broker(system.protection) ? std::make_unique<BrokerLink>(loop, system.live.broker) : nullptr),
      happened_(system.protection.guards.size()),
      teller_(system.protection, broker_.get()) {
    for (const auto& relay : system.protection.relays) relays_.push_back(relay_for(relay, broker_.get()));
    restore_state();
}

GuardWatch::~GuardWatch() = default;

void GuardWatch::look(const guard::Situation& situation) {
    constexpr std::int64_t hour_us = 3'600'000'000;
    utc_ = situation.utc;
    looked_ = situation.now;
    reading_past_since_ = situation.reading_past_since;
    if (utc_ && utc_->us / hour_us != offset_hour_) {
        offset_hour_ = utc_->us / hour_us;
        guards_.set_zone_offset(settings_.days.ahead(utc_->us));
    }
    for (std::size_t i = 0; i < relays_.size(); ++i) guards_.confirm(i, relays_[i]->standing().confirmed);
    if (left_) teller_.tell_late(*std::exchange(left_, std::nullopt), utc_);
    guards_.look(situation, *this);
    if (teller_.gather() || changed_) keep_state();
}

void GuardWatch::on(const Event& event) {
    if (event.kind == EventKind::relay_ordered) relays_[event.index]->order(event.on);
    if (event.kind == EventKind::tripped || event.kind == EventKind::cleared) happened_[event.index] = utc_at(event.at);
    if (event.kind == EventKind::notice_tripped) send(event, true);
    if (event.kind == EventKind::notice_cleared) send(event, false);
    changed_ = changed_ || of_rule(event.kind);
    keep(event);
    Json told = {{"at_us", utc_ ? Json(utc_->us) : Json(nullptr)}, {"event", word(event.kind)}};
    if (of_rule(event.kind)) {
        told["guard"] = system_.protection.guards[event.index].name;
        told["value"] = text::json_number(event.value.value());
        told["worst"] = text::json_number(event.worst.value());
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

/// Nothing while the time of day is not known.
std::optional<Instant> GuardWatch::utc_at(BootTime at) const {
    if (!utc_) return std::nullopt;
    return *utc_ + (at - looked_);
}

void GuardWatch::send(const Event& event, bool tripped) {
    constexpr Second held_back(120.0);  // by quiet hours
    const auto& g = system_.protection.guards[event.index];
    const auto happened = happened_[event.index];
    const text::GuardSaw saw{tripped, event.value, event.worst, event.level};
    const std::string when =
        happened ? std::string(settings_.days.time(happened->us)).replace(10, 1, " ").substr(0, 16) : std::string();
    const bool late = happened && utc_ && *utc_ - *happened > held_back;
    Json message = {{"system", system_.name},
                    {"guard", g.name},
                    {"event", tripped ? "tripped" : "cleared"},
                    {"watch", text::watched_words(g.watch)},
                    {"value", text::json_number(event.value.value())},
                    {"worst", text::json_number(event.worst.value())},
                    {"level", text::json_number(event.level.value())},
                    {"at_us", happened ? Json(happened->us) : Json(nullptr)},
                    {"late", late},
                    {"text", fmt::format("{}: {}", system_.name, text::notice_words(g, saw))}};
    // Held back by quiet hours it says how it stands now; kept back by anything else, how it stood then.
    const std::string told_late = late ? fmt::format("{}: {} It {} at {}.", system_.name, text::notice_words(g, saw),
                                                     tripped ? "tripped" : "was over", when)
                                       : fmt::format("{}: {}", system_.name, text::late_notice_words(g, saw, when));
    for (const auto& name : g.notices) teller_.tell({name, message, told_late});
    start_program(event, tripped);
}

void GuardWatch::start_program(const Event& event, bool tripped) {
    const auto& g = system_.protection.guards[event.index];
    if (g.run.empty()) return;
    const text::GuardSaw saw{tripped, event.value, event.worst, event.level};
    const auto limit = std::chrono::milliseconds(static_cast<std::int64_t>(g.run_limit.value() * 1e3));
    const sink::ProgramRun run{
        .words = g.run,
        .surroundings = {{"AMPHORA_SYSTEM", system_.name},
                         {"AMPHORA_GUARD", g.name},
                         {"AMPHORA_EVENT", tripped ? "tripped" : "cleared"},
                         {"AMPHORA_VALUE", fmt::format("{:.6g}", event.value.value())},
                         {"AMPHORA_TEXT", fmt::format("{}: {}", system_.name, text::notice_words(g, saw))}},
        .limit = limit};
    programs_.add([run](const std::stop_token& stop) { return sink::run(run, stop); });
}

void GuardWatch::keep_state() {
    changed_ = false;
    if (settings_.state.empty()) return;
    keeping_->add([file = settings_.state.string(),
                   text = state()](const std::stop_token&) -> std::expected<void, sink::ErrandFailure> {
        const auto written = sink::replace_file(file, text);
        if (!written) return std::unexpected(sink::ErrandFailure{written.error().message, true});
        return {};
    });
}

// By name, so that a description that was changed meanwhile does not give one rule the state of another.
std::string GuardWatch::state() const {
    Json rules = Json::array();
    for (std::size_t i = 0; i < system_.protection.guards.size(); ++i) {
        const guard::RuleMemory memory = guards_.memory(i);
        if (!memory.tripped && memory.owed == Owed::nothing) continue;
        rules.push_back({{"guard", system_.protection.guards[i].name},
                         {"tripped", memory.tripped},
                         {"worst", text::json_number(memory.worst.value())},
                         {"at_us", happened_[i] ? Json(happened_[i]->us) : Json(nullptr)},
                         {"held_back", word(memory.owed)}});
    }
    const Json state = {{"rules", rules}, {"untold", left_ ? *left_ : teller_.untold()}};
    return state.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

void GuardWatch::restore_state() {
    std::ifstream in(settings_.state);
    const Json state = Json::parse(in, nullptr, false);
    if (!state.is_object()) return;
    const auto each = [&](const char* member, auto restore) {
        if (const auto list = state.find(member); list != state.end() && list->is_array())
            for (const Json& kept : *list) restore(kept);
    };
    each("rules", [this](const Json& kept) { restore_rule(kept); });
    each("tripped", [this](const Json& name) { restore_rule({{"guard", name}, {"tripped", true}}); });  // until 0.1
    left_ = state.value("untold", Json::array());
}

void GuardWatch::restore_rule(const Json& kept) {
    if (!kept.is_object()) return;
    const auto& all = system_.protection.guards;
    const auto name = kept.find("guard");
    if (name == kept.end() || !name->is_string()) return;
    const auto at = std::ranges::find(all, name->get<std::string>(), &described::Guard::name);
    if (at == all.end()) return;
    const auto i = static_cast<std::size_t>(at - all.begin());
    const auto tripped = kept.find("tripped");
    const auto owed = kept.find("held_back");
    guards_.restore(i, {.tripped = tripped != kept.end() && *tripped == true,
                        .worst = Level(number_in(kept, "worst")),
                        .owed = owed == kept.end() ? Owed::nothing : owed_of(*owed)});
    if (const auto happened = kept.find("at_us"); happened != kept.end() && happened->is_number_integer())
        happened_[i] = Instant{happened->get<std::int64_t>()};
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
    teller_.stop();
    (void)teller_.gather();
    if (!settings_.state.empty()) (void)sink::replace_file(settings_.state.string(), state());
}

}  // namespace amphora::live
