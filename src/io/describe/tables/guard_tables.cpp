// [[guard]], [[relay]], [[notice]]: what protects the battery, by which switch, and whom it tells.
#include "io/describe/tables/rows.hpp"
#include "io/describe/tables/tables.hpp"

namespace amphora::describe {
namespace {

using described::NoticeKind;
using described::RelayKind;
using described::Switches;
using described::WhenBlind;

constexpr Words<Watched, 11> watched{{{"voltage", Watched::voltage},
                                      {"unloaded-voltage", Watched::unloaded_voltage},
                                      {"current-in", Watched::current_in},
                                      {"current-out", Watched::current_out},
                                      {"reverse-current", Watched::reverse_current},
                                      {"state-of-charge", Watched::state_of_charge},
                                      {"lowest-state-of-charge", Watched::lowest_state_of_charge},
                                      {"temperature", Watched::temperature},
                                      {"cell-spread", Watched::cell_spread},
                                      {"silence", Watched::silence},
                                      {"time-to-empty", Watched::time_to_empty}}};
constexpr Words<TimeCurve, 5> curves{{{"definite", TimeCurve::definite},
                                      {"standard-inverse", TimeCurve::standard_inverse},
                                      {"very-inverse", TimeCurve::very_inverse},
                                      {"extremely-inverse", TimeCurve::extremely_inverse},
                                      {"undervoltage-inverse", TimeCurve::undervoltage_inverse}}};
constexpr Words<RelayKind, 4> relay_kinds{{{"gpio", RelayKind::gpio},
                                           {"modbus", RelayKind::modbus},
                                           {"mqtt", RelayKind::mqtt},
                                           {"rehearsal", RelayKind::rehearsal}}};
constexpr Words<Switches, 3> purposes{
    {{"loads", Switches::loads}, {"charging", Switches::charging}, {"other", Switches::other}}};
constexpr Words<WhenBlind, 3> when_blind{{{"on", WhenBlind::on}, {"off", WhenBlind::off}, {"hold", WhenBlind::hold}}};
constexpr Words<bool, 2> states{{{"on", true}, {"off", false}}};
constexpr Words<described::Parity, 3> parities{
    {{"none", described::Parity::none}, {"even", described::Parity::even}, {"odd", described::Parity::odd}}};
constexpr Words<NoticeKind, 2> notice_kinds{{{"mqtt", NoticeKind::mqtt}, {"http", NoticeKind::http}}};

constexpr double a_day = 86'400.0;
constexpr double level_least = -1000.0;
constexpr double level_most = 100'000.0;

constexpr auto guard = [](auto member) {
    return [member](auto& s, auto i) -> auto& { return s.protection.guards[i].*member; };
};
constexpr auto relay = [](auto member) {
    return [member](auto& s, auto i) -> auto& { return s.protection.relays[i].*member; };
};
constexpr auto notice = [](auto member) {
    return [member](auto& s, auto i) -> auto& { return s.protection.notices[i].*member; };
};
using G = described::Guard;
using R = described::Relay;
using N = described::Notice;

Key path(std::string_view name, std::string_view meaning, std::string_view otherwise, Slot slot) {
    Key key = text(name, meaning, otherwise, std::move(slot));
    key.range = {1, 1000};
    return key;
}

Key texts(std::string_view name, Range range, std::string_view meaning, Slot slot) {
    return {.name = name,
            .kind = Kind::texts,
            .range = range,
            .meaning = meaning,
            .otherwise = {"none", "-", {}},
            .slot = std::move(slot)};
}

Key time(std::string_view name, std::string_view meaning, std::string_view otherwise, Slot slot) {
    return number(name, "s", {0, a_day}, meaning, otherwise, std::move(slot));
}

Key level(std::string_view name, std::string_view meaning, Slot slot) {
    return number(name, "", {level_least, level_most}, meaning, "none", std::move(slot));
}

std::vector<Key> guard_keys() {
    return {
        required(text("name", "What you call it; no two alike.", "", kept(guard(&G::name)))),
        required(
            word("watch", watched,
                 "What it watches. Levels are in its unit: V, A, a share of 1, C, s (`silence`), h "
                 "(`time-to-empty`). `unloaded-voltage` is the voltage as it would be without the present current: "
                 "a surge does not bring it down. `lowest-state-of-charge` is the lower edge of the 90 % band.",
                 "", guard(&G::watch))),
        text("of", "Name of the charger, appliance or probe that it watches; of `silence`, of the source.",
             "the battery", kept(guard(&G::of))),
        level("trip_below", "Trips when the value is below. Give this or `trip_above`.",
              measured(guard(&G::trip_below))),
        level("trip_above", "Trips when the value is above.", measured(guard(&G::trip_above))),
        time("trip_after_s", "And has been for so long without a break.", "0", measured(guard(&G::trip_after))),
        level("clear_above", "With `trip_below`: clears when the value is there or above.",
              measured(guard(&G::clear_above))),
        level("clear_below", "With `trip_above`: clears when the value is there or below.",
              measured(guard(&G::clear_below))),
        time("clear_after_s", "And has been for so long without a break.", "0", measured(guard(&G::clear_after))),
        flag("latches", "Stays tripped until a person clears it (`amphora guard clear`), instead of a clear level.",
             "false", kept(guard(&G::latches))),
        word("curve", curves,
             "How the delay shrinks the further the level is passed. Of currents: curves A, B, C of IEC 60255-151; of "
             "voltages: the undervoltage curve of IEC 60255-127 (both from memory). `trip_after_s` is then the least.",
             "definite", guard(&G::curve)),
        number("time_multiplier", "", {0.01, 1000}, "Stretches the curve.", "1",
               {[](System& s, std::size_t i, const Value& v) {
                    s.protection.guards[i].time_multiplier = std::get<double>(v);
                },
                [](const System& s, std::size_t i) -> Value { return s.protection.guards[i].time_multiplier; }}),
        Key{.name = "resistance_mohm",
            .kind = Kind::number,
            .unit = "mohm",
            .range = {0, 1000},
            .meaning = "Resistance of the battery with its links, by which `unloaded-voltage` is reckoned.",
            .otherwise = {"by chemistry and capacity", "ohmic and fast part of the estimator's first guess", {}},
            .slot = measured(guard(&G::resistance), 1e-3)},
        text("relay", "Name of the relay that it takes out of its normal state while it is tripped.", "none",
             kept(guard(&G::relay))),
        texts("notices", {1, 60}, "Names of the notices that are sent when it trips and when it clears.",
              kept(guard(&G::notices))),
        texts("run", {1, 1000},
              "A program and its arguments, run without a shell when it trips and when it clears; the environment "
              "says what happened (AMPHORA_GUARD, AMPHORA_EVENT, AMPHORA_VALUE).",
              kept(guard(&G::run))),
        number("run_limit_s", "s", {0.1, 600}, "After which it is ended.", "10", measured(guard(&G::run_limit))),
        list("quiet_h", "h", {0, 24}, "Clock hours in which notices wait: `[22, 7]`. Relays act at all hours.", "none",
             measured(guard(&G::quiet))),
        flag("urgent", "Waits neither for quiet hours nor for a relay's least times.", "false",
             kept(guard(&G::urgent))),
    };
}

std::vector<Key> relay_keys() {
    return {
        required(text("name", "What you call it; no two alike.", "", kept(relay(&R::name)))),
        required(word("kind", relay_kinds,
                      "How it is reached. `rehearsal` switches nothing and says what it would have done.", "",
                      relay(&R::kind))),
        word("switches", purposes, "What hangs on it; the checks of the guards depend on it.", "other",
             relay(&R::switches)),
        word("normally", states, "How it stands while no guard holds it.", "on", relay(&R::normally_on)),
        required(word("when_blind", when_blind,
                      "Where it goes when its guards no longer see what they watch: the safe state. `hold` leaves it.",
                      "", relay(&R::when_blind))),
        time("blind_after_s", "After so long without sight.", "30", measured(relay(&R::blind_after))),
        time("least_on_s", "Stays on for at least so long, but for urgent guards.", "0", measured(relay(&R::least_on))),
        time("least_off_s", "The same for off: a compressor wants some minutes.", "0", measured(relay(&R::least_off))),
        number("confirm_within_s", "s", {0.1, 600},
               "When the read-back contradicts the order for longer, that is told, and the order repeated.", "5",
               measured(relay(&R::confirm_within))),
        path("at",
             "`gpio`: the chip, `\"gpiochip0\"`. `modbus`: `\"host:port\"` or a serial device. `mqtt`: the topic that "
             "the relay listens to.",
             "none", kept(relay(&R::at))),
        whole("line", {0, 1023}, "`gpio`: the line of the chip.", "0", kept(relay(&R::line))),
        flag("active_low", "`gpio`: the relay is on when the line is low; counts for the read-back too.", "false",
             kept(relay(&R::active_low))),
        whole("confirm_line", {-1, 1023}, "`gpio`: the line that reads a contact of the relay back; -1: there is none.",
              "-1", kept(relay(&R::confirm_line))),
        whole("unit", {1, 247}, "`modbus`: the device's address.", "1", kept(relay(&R::unit))),
        whole("coil", {0, 65'535}, "`modbus`: the coil, counted from 0 as on the wire.", "0", kept(relay(&R::coil))),
        flag("confirm_coil", "`modbus`: read the coil back.", "true", kept(relay(&R::confirm_coil))),
        whole("baud", {300, 4'000'000}, "`modbus` on a serial device: its speed.", "9600",
              kept([](auto& s, auto i) -> auto& { return s.protection.relays[i].serial.baud; })),
        word("parity", parities, "`modbus` on a serial device.", "none",
             [](auto& s, auto i) -> auto& { return s.protection.relays[i].serial.parity; }),
        path("confirm_topic", "`mqtt`: the topic where the relay says how it stands.", "none",
             kept(relay(&R::confirm_topic))),
        text("payload_on", "`mqtt`: what is written, and read back, for on.", "on", kept(relay(&R::payload_on))),
        text("payload_off", "`mqtt`: the same for off.", "off", kept(relay(&R::payload_off))),
    };
}

std::vector<Key> notice_keys() {
    return {
        required(text("name", "What you call it; no two alike.", "", kept(notice(&N::name)))),
        required(word("kind", notice_kinds, "How it is sent: to the [broker], or as an HTTP POST of JSON.", "",
                      notice(&N::kind))),
        required(path("to", "`mqtt`: a topic. `http`: a URL.", "", kept(notice(&N::to)))),
        path("token_file", "`http`: a file whose first line is sent as a bearer token.", "none",
             kept(notice(&N::token_file))),
    };
}

}  // namespace

std::vector<Table> guard_tables() {
    Table guards{
        .path = "guard",
        .presence = Presence::repeated,
        .meaning =
            "A rule that is watched all the time; repeat the table for each. `amphora guard show` prints them, "
            "and ready-made ones for the chemistry. A guard is no fuse, and no battery management system.",
        .keys = guard_keys(),
        .enter = [](System& s) { s.protection.guards.emplace_back(); },
        .count = [](const System& s) { return s.protection.guards.size(); }};
    Table relays{.path = "relay",
                 .presence = Presence::repeated,
                 .meaning =
                     "A relay that guards switch. While any of its guards is tripped it is taken out of its normal "
                     "state. Make the state after a power cut safe by wiring: no program can.",
                 .keys = relay_keys(),
                 .enter = [](System& s) { s.protection.relays.emplace_back(); },
                 .count = [](const System& s) { return s.protection.relays.size(); }};
    Table notices{.path = "notice",
                  .presence = Presence::repeated,
                  .meaning = "Whom guards tell. What cannot be sent is tried again, later and later.",
                  .keys = notice_keys(),
                  .enter = [](System& s) { s.protection.notices.emplace_back(); },
                  .count = [](const System& s) { return s.protection.notices.size(); }};
    return {std::move(guards), std::move(relays), std::move(notices)};
}

}  // namespace amphora::describe
