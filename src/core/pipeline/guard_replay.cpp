#include "core/pipeline/guard_replay.hpp"

#include <algorithm>
#include <cmath>

namespace amphora {
namespace {

constexpr Second tick{1.0};

// Of sources that give several things the most patient counts: a thermometer may be slow.
Second described_patience(const System& system) {
    Second longest = Second::missing();
    for (const auto& source : system.live.sources)
        if (!(source.patience() <= longest)) longest = source.patience();
    return longest;
}

Second longest_wait(const Protection& protection) {
    Second wait{0.0};
    for (const auto& relay : protection.relays)
        wait = std::max(wait, relay.blind_after + relay.least_on + relay.least_off);
    for (const auto& g : protection.guards)
        if (g.watch == Watched::silence) wait = std::max(wait, Second(g.trip_above.value()) + g.trip_after);
    return wait + tick * 2.0;
}

}  // namespace

GuardReplay::GuardReplay(const System& system)
    : pipeline_(system),
      guards_(system.protection),
      described_patience_(described_patience(system)),
      longest_wait_(longest_wait(system.protection)),
      open_(system.protection.guards.size()),
      nearest_(system.protection.guards.size()) {}

void GuardReplay::note_interval(Second interval) { intervals_[interval_count_++ % intervals_.size()] = interval; }

/// The median of the newest intervals: one gap, or a few readings close together, do not move it.
Second GuardReplay::usual() const {
    auto sorted = intervals_;
    const auto count = std::min(interval_count_, sorted.size());
    auto* const middle = sorted.begin() + static_cast<std::ptrdiff_t>(count / 2);
    std::nth_element(sorted.begin(), middle, sorted.begin() + static_cast<std::ptrdiff_t>(count));
    return *middle;
}

/// A log with a reading a minute is not blind between them, even where the meter gives one each second when live.
Second GuardReplay::patience() const {
    const Second least = described_patience_.known() ? described_patience_ : Second(5.0);
    return interval_count_ == 0 ? least : std::max(usual() * 5.0, least);
}

void GuardReplay::push(const Reading& reading) {
    if (started_ && reading.at <= last_) return;
    if (started_) {
        note_interval(reading.at - last_);
        pass_gap(reading.at);
    } else {
        first_ = reading.at;
    }
    started_ = true;
    last_ = reading.at;
    current_.take(reading.current, reading.at);
    voltage_.take(reading.voltage, reading.at);
    temperature_.take(reading.temperature, reading.at);
    pipeline_.push(reading);
    estimate_ = pipeline_.now();
    look(reading.at);
}

// A look each second until the next reading, or until everything that silence can bring about has happened.
void GuardReplay::pass_gap(Instant until) {
    const Instant enough = last_ + patience() + longest_wait_;
    for (Instant at = last_ + tick; at < until && at < enough; at = at + tick) look(at);
}

void GuardReplay::look(Instant at) {
    guard::Situation s;
    s.now = BootTime{at.us};
    s.utc = at;
    s.current = current_.now(at, patience());
    s.voltage = voltage_.now(at, patience());
    s.temperature = temperature_.now(at, patience());
    s.age = at - last_;
    s.state_of_charge = estimate_.state_of_charge;
    s.to_empty = {estimate_.to_empty.low, estimate_.to_empty.likely, estimate_.to_empty.high};
    guards_.look(s, *this);
    for (std::size_t i = 0; i < nearest_.size(); ++i) {
        const auto& rule = guards_.rule(i);
        if (rule.blind()) continue;
        auto& near = nearest_[i];
        const bool nearer = rule.trips_below() ? !(rule.value() >= near.value) : !(rule.value() <= near.value);
        if (nearer) near = {rule.value(), at};
        if (open_[i] != 0) trips_[open_[i] - 1].worst = rule.worst();
    }
}

void GuardReplay::open_trip(const guard::Event& event) {
    const Instant at{event.at.us};
    trips_.push_back({.rule = event.index,
                      .at = at,
                      .until = at,
                      .lasts = true,
                      .worst = event.worst,
                      .seen = {last_, current_.value, voltage_.value, temperature_.value},
                      .state_of_charge = estimate_.state_of_charge});
    open_[event.index] = trips_.size();
}

void GuardReplay::on(const guard::Event& event) {
    using guard::EventKind;
    if (event.kind == EventKind::tripped) open_trip(event);
    if (event.kind == EventKind::cleared && open_[event.index] != 0) {
        Trip& trip = trips_[open_[event.index] - 1];
        trip.until = Instant{event.at.us};
        trip.lasts = false;
        trip.worst = event.worst;
        open_[event.index] = 0;
    }
    if (event.kind == EventKind::relay_ordered) switchings_.push_back(switching(event));
}

Switching GuardReplay::switching(const guard::Event& event) const {
    const auto& relay = guards_.relay(event.index);
    Switching found{.relay = event.index, .at = Instant{event.at.us}, .on = event.on};
    const auto first = [&](auto of_interest) -> std::optional<std::size_t> {
        const auto& all = guards_.protection().guards;
        for (std::size_t i = 0; i < all.size(); ++i)
            if (all[i].relay == relay.settings().name && of_interest(guards_.rule(i))) return i;
        return std::nullopt;
    };
    const auto before = std::find_if(switchings_.rbegin(), switchings_.rend(),
                                     [&](const Switching& s) { return s.relay == event.index; });
    const bool was_blind = before != switchings_.rend() && before->why == SwitchReason::blind;
    if (relay.in_safe_state()) {
        found.why = SwitchReason::blind;
        found.rule = first([](const guard::Rule& rule) { return rule.blind(); });
    } else if (event.on != relay.settings().normally_on) {
        found.why = SwitchReason::tripped;
        found.rule = first([](const guard::Rule& rule) { return rule.tripped(); });
    } else if (before != switchings_.rend()) {
        found.why = was_blind ? SwitchReason::sees : SwitchReason::cleared;
    }
    return found;
}

void GuardReplay::finish() {
    for (const std::size_t open : open_)
        if (open != 0) trips_[open - 1].until = last_;
}

}  // namespace amphora
