#include "app/guard_trial.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "app/description.hpp"
#include "app/give_up.hpp"
#include "core/pipeline/guard_replay.hpp"
#include "io/source/csv_reader.hpp"
#include "io/text/figure.hpp"
#include "io/text/guard_words.hpp"
#include "io/text/json_number.hpp"

namespace amphora::app {
namespace {

using Json = nlohmann::ordered_json;

// Readings into the replay, local time kept up with.
class Feed {
public:
    Feed(GuardReplay& replay, const record::LocalDays& days) : replay_(replay), days_(days) {}
    void operator()(const Reading& reading) {
        constexpr std::int64_t hour_us = 3'600'000'000;
        if (reading.at.us / hour_us != hour_) {
            hour_ = reading.at.us / hour_us;
            replay_.set_zone_offset(days_.ahead(reading.at.us));
        }
        replay_.push(reading);
        ++count_;
    }
    [[nodiscard]] std::uint64_t count() const { return count_; }

private:
    GuardReplay& replay_;
    const record::LocalDays& days_;
    std::int64_t hour_ = -1;
    std::uint64_t count_ = 0;
};

Exit feed_log(const std::string& log, const System& system, Feed& feed) {
    auto input = source::open_input(log);
    if (!input) return give_up("guard", Exit::no_input, input.error().message);
    auto reader = source::CsvReader::open(std::move(*input), system);
    if (!reader) return give_up("guard", Exit::data, reader.error().message);
    for (;;) {
        const auto batch = reader->next();
        if (!batch) return give_up("guard", Exit::io, batch.error().message);
        if (batch->empty()) return Exit::ok;
        for (const Reading& reading : *batch) feed(reading);
    }
}

Exit feed_record(const GuardTrial& trial, const RecordPlace& place, Feed& feed) {
    const auto reader = record::Reader::open(place.file);
    if (!reader) return report(reader.error());
    const auto span = span_of(*reader, trial.from, trial.to);
    if (!span) return span.error();
    const auto visited = reader->visit(*span, [&](const ledger::Columns& columns, std::size_t begin, std::size_t end) {
        for (std::size_t i = begin; i < end; ++i) feed(columns.reading(i));
    });
    return visited ? Exit::ok : report(visited.error());
}

Exit feed_all(const GuardTrial& trial, const RecordPlace& place, Feed& feed) {
    if (!trial.scene.scene.empty()) {
        const auto played = play(trial.scene, place.system, [&](const Reading& r) { feed(r); });
        return played ? Exit::ok : give_up("guard", Exit::usage, played.error());
    }
    return trial.from_record ? feed_record(trial, place, feed) : feed_log(trial.log, place.system, feed);
}

Second lasted(const Trip& trip) { return trip.until - trip.at; }

struct Sums {
    std::size_t trips = 0;
    Second tripped{};
    Second longest{};
};

Sums sums_of(const GuardReplay& replay, std::size_t rule) {
    Sums sums;
    for (const Trip& trip : replay.trips()) {
        if (trip.rule != rule) continue;
        ++sums.trips;
        sums.tripped += lasted(trip);
        sums.longest = std::max(sums.longest, lasted(trip));
    }
    return sums;
}

bool passes(const described::Guard& g, Level value) {
    return g.trip_below.known() ? value < g.trip_below : value > g.trip_above;
}

std::string seen_words(const Reading& r) {
    std::string out;
    const auto add = [&](bool known, const std::string& what) {
        if (known) out += (out.empty() ? "" : ", ") + what;
    };
    add(r.voltage.known(), fmt::format("{:.2f} V", r.voltage.value()));
    add(r.current.known(), fmt::format("{:+.1f} A", r.current.value()));
    add(r.temperature.known(), fmt::format("{:.1f} C", r.temperature.value()));
    return out;
}

void print_trips(const GuardReplay& replay, const System& system, const record::LocalDays& days) {
    constexpr std::size_t most = 60;
    const auto& guards = system.protection.guards;
    std::size_t printed = 0;
    for (const Trip& trip : replay.trips()) {
        if (++printed > most) {
            fmt::print("  ... and {} more; --json has them all\n", replay.trips().size() - most);
            return;
        }
        const auto& g = guards[trip.rule];
        fmt::print("  {:.19}  {:<31} {}{:>9}   at worst {}; seen {}; charge {}\n", days.time(trip.at.us), g.name,
                   trip.lasts ? ">" : " ", text::duration(lasted(trip)), text::level_words(g.watch, trip.worst),
                   seen_words(trip.seen), text::figure(trip.state_of_charge));
    }
}

std::string why_words(const Switching& s, const Protection& p) {
    const std::string guard = s.rule ? fmt::format("\"{}\"", p.guards[*s.rule].name) : std::string("a guard");
    switch (s.why) {
        case SwitchReason::start:
            return "as it stands while no guard holds it";
        case SwitchReason::tripped:
            return guard + " tripped";
        case SwitchReason::cleared:
            return "no guard holds it any more";
        case SwitchReason::blind:
            return fmt::format("its safe state: {} saw nothing for {}", guard,
                               text::duration(p.relays[s.relay].blind_after));
        case SwitchReason::sees:
            return "everything is seen again";
    }
    return "";
}

void print_switchings(const GuardReplay& replay, const System& system, const record::LocalDays& days) {
    constexpr std::size_t most = 60;
    const auto& p = system.protection;
    std::size_t printed = 0;
    for (const Switching& s : replay.switchings()) {
        if (s.why == SwitchReason::start) continue;
        if (++printed > most) {
            fmt::print("  ... and more; --json has all switchings\n");
            break;
        }
        fmt::print("  {:.19}  relay {:<25} {:<4} {}\n", days.time(s.at.us), p.relays[s.relay].name, s.on ? "on" : "off",
                   why_words(s, p));
    }
    if (printed > 0) fmt::print("\n");
}

std::string_view word(SwitchReason why) {
    switch (why) {
        case SwitchReason::start:
            return "start";
        case SwitchReason::tripped:
            return "tripped";
        case SwitchReason::cleared:
            return "cleared";
        case SwitchReason::blind:
            return "blind";
        case SwitchReason::sees:
            break;
    }
    return "sees";
}

void print_rules(const GuardReplay& replay, const System& system, const record::LocalDays& days) {
    const auto& guards = system.protection.guards;
    for (std::size_t i = 0; i < guards.size(); ++i) {
        const auto& g = guards[i];
        const Sums sums = sums_of(replay, i);
        const auto& near = replay.nearest()[i];
        fmt::print("  {:<33}", g.name);
        if (sums.trips > 0)
            fmt::print("{}, {} in all, the longest {}\n", text::count_of(sums.trips, "trip"),
                       text::duration(sums.tripped), text::duration(sums.longest));
        else if (!near.value.known() && near.at.us == 0)
            fmt::print("never saw what it watches: nothing here measures it\n");
        else
            fmt::print("never; nearest {} at {:.19}{}\n", text::level_words(g.watch, near.value), days.time(near.at.us),
                       passes(g, near.value) ? ", but not for long enough" : "");
    }
    for (std::size_t i = 0; i < system.protection.relays.size(); ++i) {
        const auto changes = std::ranges::count(replay.switchings(), i, &Switching::relay);
        fmt::print(
            "  relay {:<27}{}\n", system.protection.relays[i].name,
            changes == 0 ? "never switched" : text::count_of(static_cast<std::uint64_t>(changes - 1), "switching"));
    }
}

Json as_json(const GuardReplay& replay, const System& system) {
    const auto& p = system.protection;
    Json trips = Json::array();
    for (const Trip& t : replay.trips())
        trips.push_back({{"guard", p.guards[t.rule].name},
                         {"at", t.at.unix_seconds()},
                         {"lasted_s", lasted(t).value()},
                         {"lasts", t.lasts},
                         {"worst", text::json_number(t.worst.value())},
                         {"voltage_v", text::json_number(t.seen.voltage.value())},
                         {"current_a", text::json_number(t.seen.current.value())},
                         {"temperature_c", text::json_number(t.seen.temperature.value())},
                         {"state_of_charge", text::json_number(t.state_of_charge.mean.value())}});
    Json relays = Json::array();
    for (const Switching& s : replay.switchings())
        relays.push_back({{"relay", p.relays[s.relay].name},
                          {"at", s.at.unix_seconds()},
                          {"on", s.on},
                          {"why", word(s.why)},
                          {"guard", s.rule ? Json(p.guards[*s.rule].name) : Json(nullptr)}});
    Json guards = Json::array();
    for (std::size_t i = 0; i < p.guards.size(); ++i) {
        const Sums sums = sums_of(replay, i);
        guards.push_back({{"guard", p.guards[i].name},
                          {"trips", sums.trips},
                          {"tripped_s", sums.tripped.value()},
                          {"nearest", text::json_number(replay.nearest()[i].value.value())}});
    }
    return {{"from", replay.first().unix_seconds()},
            {"to", replay.last().unix_seconds()},
            {"guards", guards},
            {"trips", trips},
            {"switchings", relays}};
}

}  // namespace

Exit try_guards(const GuardTrial& trial) {
    const auto place = locate_record({trial.system, trial.record_file});
    if (!place) return place.error();
    if (place->system.protection.guards.empty())
        return give_up("guard", Exit::config,
                       fmt::format("{} has no [[guard]]; `amphora guard show --system {}` proposes some", trial.system,
                                   trial.system));
    GuardReplay replay(place->system);
    Feed feed(replay, place->days);
    if (const Exit exit = feed_all(trial, *place, feed); exit != Exit::ok) return exit;
    if (feed.count() == 0) return give_up("guard", Exit::data, "not one reading to try the guards on");
    replay.finish();
    if (trial.json) {
        fmt::print("{}\n", as_json(replay, place->system).dump(2, ' ', false, Json::error_handler_t::replace));
        return Exit::ok;
    }
    fmt::print("{} of {}, {}. Nothing was switched, nobody was told.\n\n",
               text::duration(replay.last() - replay.first()), place->system.name,
               text::count_of(feed.count(), "reading"));
    print_trips(replay, place->system, place->days);
    fmt::print("{}", replay.trips().empty() ? "" : "\n");
    print_switchings(replay, place->system, place->days);
    print_rules(replay, place->system, place->days);
    return Exit::ok;
}

}  // namespace amphora::app
