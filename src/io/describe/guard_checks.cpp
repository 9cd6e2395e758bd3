#include "io/describe/guard_checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "core/battery/cell_model.hpp"
#include "io/describe/guard_limits.hpp"
#include "io/describe/phrases.hpp"

namespace amphora::describe {
namespace {

using described::Guard;
using described::Relay;
using described::RelayKind;
using described::Switches;
using described::WhenBlind;

// Says what is wrong with one instance of a table.
class Place {
public:
    Place(Draft& draft, std::string_view table, std::size_t i) : draft_(draft), instance_(numbered(table, i)) {}

    void mistake(std::string_view key, const std::string& message) const {
        const auto path = key.empty() ? instance_ : joined(instance_, key);
        const auto* node = draft_.node(path) != nullptr ? draft_.node(path) : draft_.node(instance_);
        if (node != nullptr && draft_.sound(path)) draft_.mistake(node->at, path, message);
    }
    [[nodiscard]] bool sound(std::string_view key) const { return draft_.sound(joined(instance_, key)); }
    [[nodiscard]] bool given(std::string_view key) const { return draft_.node(joined(instance_, key)) != nullptr; }

private:
    Draft& draft_;
    std::string instance_;
};

bool below(const Guard& g) { return g.trip_below.known(); }
Level trip(const Guard& g) { return below(g) ? g.trip_below : g.trip_above; }
Level clear_level(const Guard& g) { return below(g) ? g.clear_above : g.clear_below; }
std::string_view trip_key(const Guard& g) { return below(g) ? "trip_below" : "trip_above"; }
std::string_view clear_key(const Guard& g) { return below(g) ? "clear_above" : "clear_below"; }

/// The ohmic part and what follows within a minute, of cells in series, at 25 C: the estimator's first guess.
Ohm first_guess(const Battery& battery) {
    const auto r = cell_model(battery).resistance;
    return Ohm((r.ohmic_ohm_ah + r.fast_ohm_ah) * battery.cells_in_series / battery.design_capacity.value());
}

std::string said(const Guard& g, Level level) {
    const auto unit = unit_of(g.watch);
    return fmt::format("{:.6g}{}{}", level.value(), unit.empty() ? "" : " ", unit);
}

template <class Items>
std::vector<std::string_view> names_of(const Items& items) {
    std::vector<std::string_view> names;
    for (const auto& item : items) names.emplace_back(item.name);
    return names;
}

template <class Items>
void names_differ(Draft& draft, std::string_view table, const Items& items) {
    std::set<std::string_view> seen;
    for (std::size_t i = 0; i < items.size(); ++i)
        if (!items[i].name.empty() && !seen.insert(items[i].name).second)
            Place(draft, table, i)
                .mistake("name",
                         fmt::format("expected a name of its own, found \"{}\" again", printable(items[i].name)));
}

/// Does the rule have one level to trip at, and one, on the other side, to clear at?
bool has_levels(const Place& at, const Guard& g) {
    if (g.trip_below.known() == g.trip_above.known()) {
        at.mistake(g.trip_above.known() ? "trip_above" : "", g.trip_above.known()
                                                                 ? "expected trip_below or trip_above, found both"
                                                                 : "expected trip_below or trip_above");
        return false;
    }
    const std::string_view other = below(g) ? "clear_below" : "clear_above";
    if (at.given(other)) {
        at.mistake(other, fmt::format("expected {} with {}, found {}", clear_key(g), trip_key(g), other));
        return false;
    }
    if (g.latches == clear_level(g).known()) {
        at.mistake(g.latches ? clear_key(g) : "",
                   g.latches ? "expected either latches or a level to clear at, found both"
                             : fmt::format("expected {}, or latches = true: else it can never clear", clear_key(g)));
        return false;
    }
    return at.sound(trip_key(g)) && at.sound(clear_key(g));
}

void can_trip_and_clear(const Place& at, const Guard& g, const System& system) {
    const auto [low, high] = possible(g.watch, system);
    const auto outside = [&](Level level) { return level < low || level > high; };
    const auto span = fmt::format("{:.6g} to {}", low.value(), said(g, high));
    if (outside(trip(g)))
        at.mistake(trip_key(g),
                   fmt::format("expected {}, which is what this can be here, found {}: it would never trip, "
                               "or always",
                               span, said(g, trip(g))));
    if (clear_level(g).known() && outside(clear_level(g)))
        at.mistake(clear_key(g),
                   fmt::format("expected {}, which is what this can be here, found {}: it would never clear", span,
                               said(g, clear_level(g))));
}

void does_not_chatter(const Place& at, const Guard& g, const System& system, const Relay* relay) {
    if (g.latches) return;
    const Level distance = below(g) ? clear_level(g) - trip(g) : trip(g) - clear_level(g);
    if (distance <= Level(0.0)) {
        at.mistake(clear_key(g),
                   fmt::format("expected {} {}, the level where it trips, found {}: it would trip and clear "
                               "without end",
                               below(g) ? "above" : "below", said(g, trip(g)), said(g, clear_level(g))));
        return;
    }
    const Level least = least_distance(g.watch, system);
    if (distance < least) {
        at.mistake(clear_key(g),
                   fmt::format("expected at least {} from the level where it trips, found {}: nearer, the noise of a "
                               "meter makes it chatter",
                               said(g, least), said(g, distance)));
        return;
    }
    if (relay == nullptr) return;
    // Its own action brings the value back: the current is gone when the relay opens, the voltage recovers.
    constexpr Second pause{60.0};
    constexpr double usual_c = 0.2;
    if (is_current(g.watch) && !below(g) && g.clear_after < pause && relay->least_off < pause)
        at.mistake("clear_after_s", fmt::format("expected at least {} s, or latches = true: the current ends when the "
                                                "relay opens, and the relay would close on the fault at once",
                                                pause.value()));
    const Volt rebound = first_guess(system.battery) * Ampere(usual_c * system.battery.design_capacity.value());
    if (g.watch == Watched::voltage && below(g) && relay->switches == Switches::loads &&
        distance < least + Level(rebound.value()))
        at.mistake(clear_key(g),
                   fmt::format("expected at least {} above the level where it trips, found {}: the voltage "
                               "recovers by about {:.2f} V when the loads are cut, and they would come back",
                               said(g, least + Level(rebound.value())), said(g, distance), rebound.value()));
}

void curve_fits(const Place& at, const Guard& g) {
    if (g.curve == TimeCurve::definite) return;
    const bool of_voltage = g.curve == TimeCurve::undervoltage_inverse;
    if (of_voltage ? !(is_voltage(g.watch) && below(g)) : !(is_current(g.watch) && !below(g)))
        at.mistake("curve", of_voltage ? "expected a voltage with trip_below for this curve"
                                       : "expected a current with trip_above for this curve");
}

void does_something(const Place& at, const Guard& g, const System& system) {
    const auto& p = system.protection;
    if (!at.given("relay") && !at.given("notices") && !at.given("run"))
        at.mistake("", "expected relay, notices or run: this guard does nothing");
    const auto relays = names_of(p.relays);
    const auto notices = names_of(p.notices);
    if (!g.relay.empty() && std::ranges::find(relays, g.relay) == relays.end())
        at.mistake("relay", fmt::format("expected the name of a [[relay]], found \"{}\"{}", printable(g.relay),
                                        did_you_mean(g.relay, relays)));
    for (const auto& name : g.notices)
        if (std::ranges::find(notices, name) == notices.end())
            at.mistake("notices", fmt::format("expected names of [[notice]] tables, found \"{}\"{}", printable(name),
                                              did_you_mean(name, notices)));
    if (g.quiet.size() % 2 != 0)
        at.mistake("quiet_h", fmt::format("expected pairs of hours, from and to, found {} values", g.quiet.size()));
    if (g.watch == Watched::reverse_current && g.of.empty())
        at.mistake("", "expected `of` with reverse-current: the name of the charger into which nothing should flow");
    if (!g.run.empty() && !g.run.front().starts_with('/'))
        at.mistake("run", "expected the whole path of the program, as \"/usr/local/bin/horn\"");
}

const Relay* relay_of(const Guard& g, const System& s) {
    const auto at = std::ranges::find(s.protection.relays, g.relay, &Relay::name);
    return g.relay.empty() || at == s.protection.relays.end() ? nullptr : &*at;
}

bool same_thing(const Guard& a, const Guard& b) {
    const bool alike = a.watch == b.watch || (is_voltage(a.watch) && is_voltage(b.watch)) ||
                       (is_charge(a.watch) && is_charge(b.watch));
    return alike && a.of == b.of;
}

/// `low` trips below, `high` above, both look at the same.
void do_not_contradict(const Place& at, const Guard& low, const Guard& high, const System& s) {
    const std::string name = printable(high.name);
    if (trip(low) > trip(high)) {
        at.mistake(
            "trip_below",
            fmt::format("expected at most {}, where \"{}\" trips above, found {}: one of the two would always be "
                        "tripped",
                        said(high, trip(high)), name, said(low, trip(low))));
        return;
    }
    const auto* cut = relay_of(low, s);
    const auto* stop = relay_of(high, s);
    if (cut == nullptr || stop == nullptr || stop->switches != Switches::charging) return;
    if (clear_level(low).known() && clear_level(low) >= trip(high))
        at.mistake("clear_above",
                   fmt::format("expected less than {}, where \"{}\" stops the charging, found {}: it could "
                               "never clear",
                               said(high, trip(high)), name, said(low, clear_level(low))));
    if (cut->switches == Switches::loads && clear_level(high).known() && clear_level(high) <= trip(low))
        at.mistake("trip_below",
                   fmt::format("expected less than {}, where \"{}\" lets the charging begin again, found {}: "
                               "the loads would be cut before",
                               said(high, clear_level(high)), name, said(low, trip(low))));
}

void no_two_contradict(Draft& draft, const std::vector<bool>& sound) {
    const auto& guards = draft.system.protection.guards;
    for (std::size_t i = 0; i < guards.size(); ++i)
        for (std::size_t k = 0; k < guards.size(); ++k)
            if (sound[i] && sound[k] && below(guards[i]) && !below(guards[k]) && same_thing(guards[i], guards[k]))
                do_not_contradict(Place(draft, "guard", i), guards[i], guards[k], draft.system);
}

bool guards_frost(const Guard& g, const Relay& relay) {
    return g.relay == relay.name && g.watch == Watched::temperature && g.of.empty() && below(g) &&
           trip(g) >= Level(0.0) && g.trip_after <= Second(60.0);
}

// Charging in frost plates metal onto the electrode of these cells; nothing mends that.
void never_charges_in_frost(const Place& at, const Relay& relay, const System& s) {
    if (relay.switches != Switches::charging || !frost_forbids_charging(s.battery.chemistry)) return;
    if (!relay.normally_on) {
        at.mistake("normally", "expected \"on\" for a relay that switches charging: guards take it off");
        return;
    }
    if (std::ranges::none_of(s.protection.guards, [&](const Guard& g) { return guards_frost(g, relay); }))
        at.mistake(
            "switches",
            "expected a [[guard]] for it with watch = \"temperature\" of the battery itself (no `of`), "
            "trip_below = 0 or more, and trip_after_s of at most 60: this battery must not be charged below freezing");
    if (relay.blind_after > Second(60.0))
        at.mistake("blind_after_s",
                   "expected at most 60: so long it would be charged without anybody knowing whether it freezes");
    if (relay.when_blind != WhenBlind::off)
        at.mistake("when_blind",
                   "expected \"off\": without a temperature nobody knows whether this battery may be "
                   "charged");
}

void relay_is_whole(const Place& at, const Relay& relay, const System& s) {
    if (relay.kind != RelayKind::rehearsal && relay.at.empty())
        at.mistake("", "expected `at`: the chip, the address or the topic of the relay");
    if (relay.kind == RelayKind::mqtt && s.live.broker.host.empty())
        at.mistake("kind", "expected a [broker] with its host for a relay on MQTT");
    if (relay.payload_on == relay.payload_off) at.mistake("payload_off", "expected another word than payload_on");
    if (relay.kind == RelayKind::gpio && relay.confirm_line == relay.line)
        at.mistake("confirm_line", "expected another line than the one that switches");
}

void notice_is_whole(const Place& at, const described::Notice& notice, const System& s) {
    if (notice.kind == described::NoticeKind::mqtt && s.live.broker.host.empty())
        at.mistake("kind", "expected a [broker] with its host for a notice on MQTT");
    if (notice.kind == described::NoticeKind::http && !notice.to.starts_with("http://") &&
        !notice.to.starts_with("https://"))
        at.mistake("to", "expected a URL that begins with http:// or https://");
}

void fill_in_resistances(Draft& draft) {
    const auto& battery = draft.system.battery;
    for (std::size_t i = 0; i < draft.system.protection.guards.size(); ++i) {
        auto& g = draft.system.protection.guards[i];
        if (g.watch != Watched::unloaded_voltage || g.resistance.known()) continue;
        g.resistance = first_guess(battery);
        draft.notes.push_back({joined(numbered("guard", i), "resistance_mohm"),
                               fmt::format("{:.2g} mohm", g.resistance.value() * 1e3),
                               "the estimator's first guess for the chemistry and the capacity"});
    }
}

}  // namespace

void check_guards(Draft& draft) {
    const System& s = draft.system;
    const auto& p = s.protection;
    for (const auto* key : {"battery.chemistry", "battery.design_capacity_ah", "battery.cells_in_series"})
        if (!draft.sound(key)) return;
    names_differ(draft, "guard", p.guards);
    names_differ(draft, "relay", p.relays);
    names_differ(draft, "notice", p.notices);
    fill_in_resistances(draft);
    std::vector<bool> sound;
    for (std::size_t i = 0; i < p.guards.size(); ++i) {
        const Place at(draft, "guard", i);
        const auto& g = p.guards[i];
        does_something(at, g, s);
        sound.push_back(at.sound("watch") && has_levels(at, g));
        if (!sound.back()) continue;
        curve_fits(at, g);
        can_trip_and_clear(at, g, s);
        does_not_chatter(at, g, s, relay_of(g, s));
    }
    no_two_contradict(draft, sound);
    for (std::size_t i = 0; i < p.relays.size(); ++i) {
        relay_is_whole(Place(draft, "relay", i), p.relays[i], s);
        never_charges_in_frost(Place(draft, "relay", i), p.relays[i], s);
    }
    for (std::size_t i = 0; i < p.notices.size(); ++i) notice_is_whole(Place(draft, "notice", i), p.notices[i], s);
}

}  // namespace amphora::describe
