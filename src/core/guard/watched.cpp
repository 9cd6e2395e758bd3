#include "core/guard/watched.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace amphora::guard {
namespace {

template <class Q>
Level level(Q quantity) {
    return Level(quantity.value());
}

/// The newest figure of that kind of the thing that the rule names.
Level named(const Situation& s, const std::string& whose, Measurand measures) {
    const Seen* best = nullptr;
    for (const Seen& seen : s.seen) {
        if (seen.whose != whose || seen.silent || seen.of == Subject::battery) continue;
        const bool fits =
            seen.measures == measures || (measures == Measurand::current && seen.measures == Measurand::shunt_drop);
        if (fits && (best == nullptr || seen.age < best->age)) best = &seen;
    }
    return best == nullptr ? Level::missing() : Level(best->value);
}

Level measured(const described::Guard& rule, const Situation& s, Measurand measures) {
    if (!rule.of.empty()) return named(s, rule.of, measures);
    switch (measures) {
        case Measurand::voltage:
            return level(s.voltage);
        case Measurand::temperature:
            return level(s.temperature);
        default:
            return level(s.current);
    }
}

/// A magnitude in one direction: what flows the other way counts as nothing.
Level one_way(Level current, double direction) {
    if (!current.known()) return current;
    return Level(std::max(0.0, direction * current.value()));
}

Level spread_of_cells(const Situation& s) {
    double low = std::numeric_limits<double>::infinity();
    double high = -low;
    int cells = 0;
    for (const Seen& seen : s.seen) {
        if (seen.measures != Measurand::cell_voltage || seen.silent) continue;
        low = std::min(low, seen.value);
        high = std::max(high, seen.value);
        ++cells;
    }
    return cells < 2 ? Level::missing() : Level(high - low);
}

/// A source is as silent as its newest channel. What never spoke is not silent as long as the program has not run for
/// so long itself; then it counts as silent for ever.
Level silence(const described::Guard& rule, const Situation& s) {
    Second age = Second::missing();
    if (rule.of.empty()) {
        age = s.age;
    } else {
        for (const Seen& seen : s.seen)
            if ((seen.source == rule.of || seen.whose == rule.of) && seen.age.known() && !(age <= seen.age))
                age = seen.age;
    }
    if (age.known()) return level(age);
    const bool just_begun = s.up.known() && level(s.up) <= rule.trip_above;
    return just_begun ? Level::missing() : Level(std::numeric_limits<double>::infinity());
}

Level without_load(const described::Guard& rule, const Situation& s) {
    return level(s.voltage - rule.resistance * s.current);
}

}  // namespace

Level value_of(const described::Guard& rule, const Situation& s) {
    switch (rule.watch) {
        case Watched::voltage:
            return measured(rule, s, Measurand::voltage);
        case Watched::unloaded_voltage:
            return without_load(rule, s);
        case Watched::current_in:
            return one_way(measured(rule, s, Measurand::current), 1.0);
        case Watched::current_out:
        case Watched::reverse_current:
            return one_way(measured(rule, s, Measurand::current), -1.0);
        case Watched::state_of_charge:
            return level(s.state_of_charge.mean);
        case Watched::lowest_state_of_charge:
            return level(s.state_of_charge.mean - s.state_of_charge.sd * band90);
        case Watched::temperature:
            return measured(rule, s, Measurand::temperature);
        case Watched::cell_spread:
            return spread_of_cells(s);
        case Watched::silence:
            return silence(rule, s);
        case Watched::time_to_empty:
            return Level(s.to_empty.likely.value() / seconds_per_hour);
    }
    return Level::missing();
}

}  // namespace amphora::guard
