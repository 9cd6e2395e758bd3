#include "io/live/guard_watch.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <nlohmann/json.hpp>
#include <thread>

#include "io/live/live_json.hpp"
#include "io/live/modbus_wire.hpp"
#include "io/live/mqtt_relay.hpp"
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
constexpr std::chrono::milliseconds longest_wait{20};  // of an order
constexpr std::chrono::milliseconds longest_start{1000};
constexpr std::chrono::milliseconds longest_end{10'000};

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
    if (settings_.state.empty()) return;
    restore(guard_state_in(settings_.state));
    kept_.emplace(settings_.state);
    keep_state();
    (void)kept_->wait(longest_start);
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
    if (left_) teller_.owe_late(*std::exchange(left_, std::nullopt), utc_);
    guards_.look(situation, *this);
    const bool arrived = teller_.gather();
    const bool safe = acts_.gather();
    if (arrived || safe) keep_state();
    carry_out();
}

// First what must outlast a kill, then what is done about it.
void GuardWatch::carry_out() {
    for (const Event& event : round_) note(event);
    if (std::ranges::any_of(round_, of_rule, &Event::kind)) {
        keep_state();
        // Not for the device: what protects must not be held up by it.
        if (kept_) (void)kept_->wait_written(longest_wait);
    }
    for (const Event& event : round_) act(event);
    round_.clear();
    teller_.tell();
}

void GuardWatch::act(const Event& event) {
    if (event.kind == EventKind::relay_ordered) relays_[event.index]->order(event.on);
    if (event.kind == EventKind::notice_tripped) start_program(event, true);
    if (event.kind == EventKind::notice_cleared) start_program(event, false);
}

void GuardWatch::note(const Event& event) {
    if (event.kind == EventKind::tripped || event.kind == EventKind::cleared) happened_[event.index] = utc_at(event.at);
    if (event.kind == EventKind::notice_tripped) owe(event, true);
    if (event.kind == EventKind::notice_cleared) owe(event, false);
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

void GuardWatch::keep(const Event& event) {
    record::GuardAct act{.kind = std::string(word(event.kind))};
    if (of_rule(event.kind)) {
        act.guard = system_.protection.guards[event.index].name;
        act.value = event.value.value();
        act.worst = event.worst.value();
    } else {
        act.relay = system_.protection.relays[event.index].name;
        act.on = event.on;
    }
    acts_.keep(event.at, std::move(act));
}

/// Nothing while the time of day is not known.
std::optional<Instant> GuardWatch::utc_at(BootTime at) const {
    if (!utc_) return std::nullopt;
    return *utc_ + (at - looked_);
}

void GuardWatch::owe(const Event& event, bool tripped) {
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
    for (const auto& name : g.notices) teller_.owe({name, message, told_late});
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
    if (kept_) kept_->put(text_of(state()));
}

GuardState GuardWatch::state() const {
    GuardState state{.rules = {}, .acts = acts_.all(), .untold = left_ ? *left_ : teller_.untold()};
    for (std::size_t i = 0; i < system_.protection.guards.size(); ++i) {
        const guard::RuleMemory memory = guards_.memory(i);
        if (!memory.tripped && memory.owed == guard::Owed::nothing) continue;
        state.rules.push_back({system_.protection.guards[i].name, memory, happened_[i]});
    }
    return state;
}

void GuardWatch::restore(GuardState left) {
    acts_.take_over(std::move(left.acts));
    left_ = std::move(left.untold);
    for (const KeptRule& rule : left.rules) {
        const auto& all = system_.protection.guards;
        const auto at = std::ranges::find(all, rule.guard, &described::Guard::name);
        if (at == all.end()) continue;
        const auto i = static_cast<std::size_t>(at - all.begin());
        guards_.restore(i, rule.memory);
        if (rule.happened) happened_[i] = rule.happened;
    }
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
    carry_out();
    const auto until = steady_clock::now() + std::chrono::seconds(1);
    const auto all_done = [&] {
        for (std::size_t i = 0; i < relays_.size(); ++i)
            if (const auto on = safe(i); on && relays_[i]->standing().commanded != on) return false;
        return true;
    };
    while (!all_done() && steady_clock::now() < until) std::this_thread::sleep_for(std::chrono::milliseconds(5));
    teller_.stop();
    (void)teller_.gather();
    keep_state();
    if (kept_) (void)kept_->wait(longest_end);
}

}  // namespace amphora::live
