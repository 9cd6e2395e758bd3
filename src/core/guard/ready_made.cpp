#include "core/guard/ready_made.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace amphora::guard {
namespace {

using described::Guard;
using described::Relay;
using described::RelayKind;
using described::Switches;
using described::WhenBlind;

/// Per cell.
struct Levels {
    Volt cut;         // loads go, the voltage reckoned without load
    Volt cut_clear;   // and come back: only a charger brings it here
    Volt floor;       // loads go, whatever the load
    Volt over;        // charging stops
    Volt over_clear;  // and may begin again
    Celsius cold;     // charging stops; missing(): cold does no harm
    Celsius hot;
    double most_c;  // out of the battery for long, in multiples of the capacity per hour
};

// The cut lies where a tenth to a fifth is left; the floor where the maker's protection is near.
Levels levels_of(Chemistry chemistry) {
    switch (chemistry) {
        case Chemistry::lfp:
            return {Volt(3.0), Volt(3.325), Volt(2.7), Volt(3.65), Volt(3.4), Celsius(2), Celsius(50), 1.0};
        case Chemistry::agm:
            return {Volt(1.95), Volt(2.15), Volt(1.75), Volt(2.50), Volt(2.25), Celsius::missing(), Celsius(50), 0.5};
        case Chemistry::gel:
            return {Volt(1.95), Volt(2.15), Volt(1.75), Volt(2.42), Volt(2.25), Celsius::missing(), Celsius(50), 0.4};
        case Chemistry::flooded:
            return {Volt(1.95), Volt(2.15), Volt(1.75), Volt(2.62), Volt(2.25), Celsius::missing(), Celsius(50), 0.4};
        case Chemistry::nmc:
        case Chemistry::nca:
            return {Volt(3.4), Volt(3.75), Volt(3.0), Volt(4.22), Volt(4.05), Celsius(2), Celsius(45), 1.0};
        case Chemistry::lto:
            return {Volt(2.05), Volt(2.35), Volt(1.8), Volt(2.8), Volt(2.55), Celsius::missing(), Celsius(55), 2.0};
    }
    return {};
}

Level whole(const System& s, Volt per_cell) {
    return Level(std::round(per_cell.value() * s.battery.cells_in_series * 100.0) / 100.0);
}

std::string relay_for(const System& s, Switches what, ReadyMadeSet& set) {
    const auto known = std::ranges::find(s.protection.relays, what, &Relay::switches);
    if (known != s.protection.relays.end()) return known->name;
    const bool loads = what == Switches::loads;
    const std::string name = loads ? "loads" : "charging";
    if (std::ranges::find(set.relays, name, &Relay::name) == set.relays.end()) {
        Relay relay;
        relay.name = name;
        relay.kind = RelayKind::rehearsal;
        relay.switches = what;
        relay.when_blind = loads ? WhenBlind::hold : WhenBlind::off;
        relay.least_off = Second(loads ? 60.0 : 30.0);
        set.relays.push_back(relay);
    }
    return name;
}

// The making of one set: what all its rules share.
class Making {
public:
    explicit Making(const System& system) : system_(system), at_(levels_of(system.battery.chemistry)) {}

    ReadyMadeSet all() {
        loads();
        charging();
        warnings();
        return std::move(set_);
    }

private:
    Guard& add(std::string_view name, Watched watch, std::string_view why) {
        Guard guard;
        guard.name = name;
        guard.watch = watch;
        for (const auto& notice : system_.protection.notices) guard.notices.push_back(notice.name);
        set_.guards.push_back({guard, why});
        return set_.guards.back().guard;
    }
    static void falls(Guard& g, Level trip, Second after, Level clear, Second clear_after) {
        g.trip_below = trip;
        g.trip_after = after;
        g.clear_above = clear;
        g.clear_after = clear_after;
    }
    static void rises(Guard& g, Level trip, Second after, Level clear, Second clear_after) {
        g.trip_above = trip;
        g.trip_after = after;
        g.clear_below = clear;
        g.clear_after = clear_after;
    }

    void loads() {
        const auto relay = relay_for(system_, Switches::loads, set_);
        auto& low = add("battery nearly empty", Watched::unloaded_voltage,
                        "Cuts the loads before the battery is hurt. The voltage is reckoned without the load, and must "
                        "stay low for a minute: an inverter's surge does not trip it.");
        falls(low, whole(system_, at_.cut), Second(60), whole(system_, at_.cut_clear), Second(300));
        low.relay = relay;

        auto& floor = add("voltage collapses", Watched::voltage,
                          "The floor, whatever the load. The deeper the sooner: a tenth below it after ten seconds, a "
                          "starting motor not at all.");
        falls(floor, whole(system_, at_.floor), Second(2), whole(system_, at_.cut_clear), Second(300));
        floor.curve = TimeCurve::undervoltage_inverse;
        floor.relay = relay;

        const auto& bank = system_.equipment.bank;
        const double most = bank.most_discharge.known() ? bank.most_discharge.value()
                                                        : at_.most_c * system_.battery.design_capacity.value();
        auto& over =
            add("more than the battery may give", Watched::current_out,
                "Overload by an inverse time: twice the current for 27 s, five times for 3 s. No fuse: it does "
                "not stop a short circuit.");
        over.trip_above = Level(most);
        over.curve = TimeCurve::extremely_inverse;
        over.latches = true;
        over.urgent = true;
        over.relay = relay;

        auto& hot = add("too hot to be used", Watched::temperature, "Stops the discharge of a battery that overheats.");
        rises(hot, Level(at_.hot.value() + 10), Second(30), Level(at_.hot.value()), Second(600));
        hot.urgent = true;
        hot.relay = relay;
    }

    void charging() {
        const auto relay = relay_for(system_, Switches::charging, set_);
        if (at_.cold.known()) {
            auto& cold = add("too cold to charge", Watched::temperature,
                             "Lithium cells must not be charged below freezing: it ruins them for good. Two kelvin are "
                             "kept for the error of the probe and the inside of the cells.");
            falls(cold, Level(at_.cold.value()), Second(5), Level(at_.cold.value() + 3), Second(600));
            cold.urgent = true;
            cold.relay = relay;
        }
        auto& hot = add("too hot to charge", Watched::temperature, "Stops the charging of a hot battery.");
        rises(hot, Level(at_.hot.value()), Second(30), Level(at_.hot.value() - 5), Second(600));
        hot.urgent = true;
        hot.relay = relay;

        auto& over =
            add("charged too high", Watched::voltage, "A charger that does not stop, or is set for another battery.");
        rises(over, whole(system_, at_.over), Second(5), whole(system_, at_.over_clear), Second(60));
        over.urgent = true;
        over.relay = relay;
    }

    void warnings() {
        if (system_.protection.notices.empty()) return;
        auto& reserve = add("down to the reserve", Watched::state_of_charge, "Time to charge, or to use less.");
        falls(reserve, Level(system_.battery.reserve.value()), Second(300),
              Level(std::min(0.99, system_.battery.reserve.value() + 0.1)), Second(300));
        reserve.quiet = {Hour(22), Hour(7)};
        auto& silent = add("meter silent", Watched::silence, "Nothing is watched while the meter says nothing.");
        rises(silent, Level(60), Second(0), Level(10), Second(10));
        const bool has_cells = std::ranges::any_of(
            system_.live.channels, [](const described::Channel& c) { return c.measures == Measurand::cell_voltage; });
        if (!has_cells) return;
        auto& spread = add("cells drift apart", Watched::cell_spread,
                           "The weakest cell ends the discharge, the fullest the charge; find out why.");
        rises(spread, Level(0.15), Second(600), Level(0.10), Second(600));
        spread.quiet = {Hour(22), Hour(7)};
    }

    const System& system_;
    Levels at_;
    ReadyMadeSet set_;
};

}  // namespace

ReadyMadeSet ready_made(const System& system) { return Making(system).all(); }

}  // namespace amphora::guard
