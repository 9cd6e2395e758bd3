#include "core/guard/guards.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "core/guard/watched.hpp"

namespace amphora::guard {
namespace {

constexpr double hours_per_day = 24.0;

BootTime before(BootTime at, Second ago) { return BootTime{at.us - std::llround(ago.value() * 1e6)}; }

bool within(double hour, double from, double to) {
    return from <= to ? hour >= from && hour < to : hour >= from || hour < to;
}

}  // namespace

Guards::Guards(Protection protection) : protection_(std::move(protection)) {
    for (const auto& relay : protection_.relays) relays_.push_back({.keeper = RelayKeeper(relay), .agreed = {}});
    for (const auto& settings : protection_.guards) {
        Watch watch{.rule = Rule(settings), .relay = {}};
        const auto at = std::ranges::find(protection_.relays, settings.relay, &described::Relay::name);
        if (!settings.relay.empty() && at != protection_.relays.end())
            watch.relay = static_cast<std::size_t>(at - protection_.relays.begin());
        rules_.push_back(watch);
    }
}

void Guards::look(const Situation& situation, Listener& listener) {
    const Second passed = last_ ? std::clamp(situation.now - *last_, Second(0.0), longest_hold) : Second(0.0);
    const BootTime now = last_ ? std::max(*last_, situation.now) : situation.now;
    last_ = now;
    utc_ = situation.utc;
    for (std::size_t i = 0; i < rules_.size(); ++i) watch(i, situation, passed, listener);
    for (std::size_t i = 0; i < relays_.size(); ++i) keep(i, now, listener);
}

// First the time since the last look with what was seen then, so that what falls due between two looks is told at its
// own time; then what is seen now.
void Guards::watch(std::size_t i, const Situation& situation, Second passed, Listener& listener) {
    auto& rule = rules_[i].rule;
    if (const auto change = rule.pass(passed)) tell(i, *change, before(*last_, change->ago), listener);
    rule.see(value_of(protection_.guards[i], situation));
    if (const auto change = rule.pass(Second(0.0))) tell(i, *change, *last_, listener);
    pay(i, listener);
}

Event Guards::event(std::size_t rule, EventKind kind, BootTime at) const {
    const auto& watch = rules_[rule];
    return {.at = at,
            .kind = kind,
            .index = rule,
            .value = watch.rule.value(),
            .level = watch.rule.trip_level(),
            .worst = watch.rule.worst(),
            .since = at - watch.tripped_at};
}

void Guards::tell(std::size_t i, const Change& change, BootTime at, Listener& listener) {
    if (change.tripped) rules_[i].tripped_at = at;
    listener.on(event(i, change.tripped ? EventKind::tripped : EventKind::cleared, at));
    notify(i, change.tripped, listener, at);
}

// In quiet hours a notice waits. What trips and clears while they last is told once, when they are over.
void Guards::notify(std::size_t i, bool tripped, Listener& listener, BootTime at) {
    const auto& settings = protection_.guards[i];
    if (settings.notices.empty() && settings.run.empty()) return;
    auto& owed = rules_[i].owed;
    if (quiet(settings) && !settings.urgent) {
        owed = tripped ? Owed::trip : Owed::trip_and_clear;
        return;
    }
    owed = Owed::nothing;
    listener.on(event(i, tripped ? EventKind::notice_tripped : EventKind::notice_cleared, at));
}

void Guards::pay(std::size_t i, Listener& listener) {
    auto& owed = rules_[i].owed;
    if (owed == Owed::nothing || quiet(protection_.guards[i])) return;
    const auto kind = owed == Owed::trip ? EventKind::notice_tripped : EventKind::notice_cleared;
    owed = Owed::nothing;
    listener.on(event(i, kind, *last_));
}

bool Guards::quiet(const described::Guard& settings) const {
    if (!utc_) return false;
    const double hours = (utc_->unix_seconds() + ahead_.value()) / seconds_per_hour;
    const double hour = hours - hours_per_day * std::floor(hours / hours_per_day);
    for (std::size_t k = 0; k + 1 < settings.quiet.size(); k += 2)
        if (within(hour, settings.quiet[k].value(), settings.quiet[k + 1].value())) return true;
    return false;
}

Claim Guards::claim_on(std::size_t relay) const {
    Claim claim;
    for (std::size_t i = 0; i < rules_.size(); ++i) {
        if (rules_[i].relay != relay) continue;
        const bool blind = rules_[i].rule.blind();
        claim.blind = claim.blind || blind;
        if (!rules_[i].rule.tripped()) continue;
        if (blind && !protection_.guards[i].latches) {
            claim.was_held = true;
            continue;
        }
        claim.held = true;  // what latches waits for a person, not for sight
        claim.urgent = claim.urgent || protection_.guards[i].urgent;
    }
    return claim;
}

void Guards::keep(std::size_t i, BootTime now, Listener& listener) {
    auto& [keeper, was_safe, refused, agreed] = relays_[i];
    const auto order = keeper.weigh(now, claim_on(i));
    const auto say = [&](EventKind kind, bool on) { listener.on({.at = now, .kind = kind, .index = i, .on = on}); };
    if (keeper.in_safe_state() != was_safe) {
        was_safe = keeper.in_safe_state();
        say(was_safe ? EventKind::relay_blind : EventKind::relay_sees, keeper.commanded().value_or(false));
    }
    if (order) {
        say(EventKind::relay_ordered, *order);
        agreed.reset();
    }
    if (!keeper.commanded()) return;
    if (keeper.refuses(now) && !refused) {
        refused = true;
        say(EventKind::relay_refuses, *keeper.commanded());
    }
    if (keeper.confirmed() == keeper.commanded() && agreed != keeper.commanded()) {
        agreed = keeper.commanded();
        refused = false;
        say(EventKind::relay_confirmed, *agreed);
    }
}

void Guards::clear(std::size_t rule, Listener& listener) {
    if (!rules_[rule].rule.tripped()) return;
    rules_[rule].rule.clear();
    tell(rule, {.tripped = false, .ago = Second(0.0)}, last_.value_or(BootTime{}), listener);
}

RuleMemory Guards::memory(std::size_t rule) const {
    const auto& watch = rules_[rule];
    return {.tripped = watch.rule.tripped(), .worst = watch.rule.worst(), .owed = watch.owed};
}

void Guards::restore(std::size_t rule, const RuleMemory& memory) {
    rules_[rule].rule.restore(memory.tripped, memory.worst);
    rules_[rule].owed = memory.owed;
}

std::optional<BootTime> Guards::tripped_at(std::size_t i) const {
    if (!rules_[i].rule.tripped()) return std::nullopt;
    return rules_[i].tripped_at;
}

}  // namespace amphora::guard
