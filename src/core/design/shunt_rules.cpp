#include <algorithm>
#include <array>

#include "core/design/load.hpp"
#include "core/design/rules.hpp"
#include "core/design/shunt_choice.hpp"
#include "core/design/words.hpp"

namespace amphora::design {
namespace {

std::string subject(const Shunt& s) { return "shunt " + s.name; }

template <class Rule>
void each_in_use(const Plan& plan, Rule rule) {
    for (const Shunt& s : plan.shunts) {
        if (s.in_use && s.rating.known()) rule(s);
    }
}

std::string larger_shunt(Ampere continuous, const Shunt& s) {
    const Ampere least = continuous / s.continuous_share.value();
    for (const double r : {100.0, 150.0, 200.0, 300.0, 400.0, 500.0, 600.0, 800.0, 1000.0}) {
        if (Ampere(r) >= least) return "take a shunt of at least " + words(Ampere(r));
    }
    return "take a shunt of at least " + words(least);
}

/// What flows for long.
void carries_the_load(const Plan& plan, Findings& found) {
    each_in_use(plan, [&](const Shunt& s) {
        const Load l = load_through(plan, s, Reckoning::expected);
        const Ampere load = l.greatest();
        const Ampere for_good = s.rating * s.continuous_share.value();
        if (load <= for_good * 1.005) return;
        const bool over_rating = load > s.rating;
        const Ohm r = s.rated_drop / s.rating;
        found.push_back({.severity = over_rating ? Severity::danger : Severity::warning,
                         .rule = "shunt.continuous",
                         .subject = subject(s),
                         .figures = {{"current", load.value(), "A"},
                                     {"rating", s.rating.value(), "A"},
                                     {"for good", for_good.value(), "A"},
                                     {"heat", (load * (r * load)).value(), "W"},
                                     {"rated heat", (s.rating * s.rated_drop).value(), "W"}},
                         .sentence = words(load) + " may flow through a shunt of " + words(s.rating) +
                                     (over_rating ? ": it overheats, reads wrong and may come undone."
                                                  : "; for long it should carry at most " + words(for_good) +
                                                        ", or it gets hot and reads wrong."),
                         .source = "shunt makers' rule, read in several: continuous current at most 2/3 of the rating",
                         .mend = larger_shunt(load, s)});
    });
}

/// What the inverter may draw once something larger is plugged in.
void outlasts_its_inverter(const Plan& plan, Findings& found) {
    each_in_use(plan, [&](const Shunt& s) {
        const Ampere possible = load_through(plan, s, Reckoning::installed).out;
        const Ampere for_good = s.rating * s.continuous_share.value();
        if (load_through(plan, s, Reckoning::expected).greatest() > for_good || possible <= s.rating) return;
        constexpr double far = 1.25;
        found.push_back({.severity = possible > s.rating * far ? Severity::warning : Severity::note,
                         .rule = "shunt.inverter",
                         .subject = subject(s),
                         .figures = {{"inverter at its rating, with the rest", possible.value(), "A"},
                                     {"rating", s.rating.value(), "A"}},
                         .sentence = "What is described asks for less, but the inverter at its rating makes it " +
                                     words(possible) + " through a shunt of " + words(s.rating) + ".",
                         .source = "power / (efficiency x voltage); the shunt's rating, as described",
                         .mend = larger_shunt(possible, s) + ", or keep large appliances off the inverter"});
    });
}

/// What flows for a second.
void sees_the_surge(const Plan& plan, Findings& found) {
    each_in_use(plan, [&](const Shunt& s) {
        const Load l = load_through(plan, s, Reckoning::expected);
        const Ampere range = s.highest.known() ? s.highest : s.rating;
        if (l.out_surge <= range || l.out_surge <= l.out) return;
        const bool far = l.out_surge > range * 1.5;
        found.push_back(
            {.severity = far ? Severity::warning : Severity::note,
             .rule = "shunt.surge",
             .subject = subject(s),
             .figures = {{"surge", l.out_surge.value(), "A"}, {"range", range.value(), "A"}},
             .sentence = "A surge of " + words(l.out_surge) + " is above the range of " + words(range) +
                         ": the meter cuts it off and the charge is not counted.",
             .source = "Ohm's law with the shunt's rated pair",
             .mend = far ? "take a larger shunt" : "no harm if it lasts a second; watch the shunt's temperature"});
    });
}

/// What it eats.
void loses_little(const Plan& plan, Findings& found) {
    each_in_use(plan, [&](const Shunt& s) {
        const Ampere load = load_through(plan, s, Reckoning::expected).greatest();
        const Volt drop = s.rated_drop / s.rating * load;
        if (drop <= plan.nominal * 0.01) return;
        found.push_back({.severity = Severity::note,
                         .rule = "shunt.drop",
                         .subject = subject(s),
                         .figures = {{"drop", drop.value() * 1000.0, "mV"}, {"heat", (drop * load).value(), "W"}},
                         .sentence = "The shunt alone takes " + millivolts(drop) + " (" + percent(drop / plan.nominal) +
                                     ") and turns " + words(drop * load) + " into heat.",
                         .source = "Ohm's law with the shunt's rated pair",
                         .mend = "a shunt with a smaller rated drop, or a larger one"});
    });
}

/// The smallest load that matters must be seen.
void sees_the_smallest(const Plan& plan, Findings& found) {
    const Ampere smallest = smallest_load(plan);
    if (!smallest.known()) return;
    each_in_use(plan, [&](const Shunt& s) {
        if (!s.resolution.known() || !s.circuit.empty()) return;
        const Ampere step = s.resolution / (s.rated_drop / s.rating);
        if (step <= smallest / 2.0) return;
        found.push_back({.severity = Severity::warning,
                         .rule = "shunt.resolution",
                         .subject = subject(s),
                         .figures = {{"step", step.value(), "A"}, {"smallest load", smallest.value(), "A"}},
                         .sentence = "The meter's step is " + words(step) +
                                     "; the smallest draw that runs for long is " + words(smallest) +
                                     " and would be counted wrong or not at all, around the clock.",
                         .source = "quantisation: a constant current below half a step reads as zero",
                         .mend = "a smaller shunt, or a meter with a finer step"});
    });
}

/// A small error at zero adds up.
void holds_its_zero(const Plan& plan, Findings& found) {
    each_in_use(plan, [&](const Shunt& s) {
        const double days = days_to_drift(plan, s, drift_points);
        if (!(days < 7.0) || !s.circuit.empty()) return;
        const Ampere off = s.offset / (s.rated_drop / s.rating);
        found.push_back({.severity = Severity::warning,
                         .rule = "shunt.offset",
                         .subject = subject(s),
                         .figures = {{"offset", off.value(), "A"}, {"days to 5 points", days, "d"}},
                         .sentence = "An offset of " + words(off) + " counts " + words(off * Hour(24.0)) +
                                     " a day that never flowed; after " + digits(days, 2) +
                                     " days without a full charge the state of charge is 5 points off.",
                         .source = "charge = current x time",
                         .mend = "null the meter when it is installed, take a finer meter or a smaller shunt, and "
                                 "charge to full more often"});
    });
}

/// A wire around the shunt is a leak in the books.
void sees_every_wire(const Plan& plan, Findings& found) {
    if (plan.shunts.empty()) return;
    for (const Circuit& c : plan.circuits) {
        if (c.negative != Negative::battery_post) continue;
        found.push_back(
            {.severity = Severity::warning,
             .rule = "shunt.bypass",
             .subject = "circuit " + c.name,
             .figures = {},
             .sentence =
                 "Its negative goes to the battery post, around the shunt: what flows there is never counted and the "
                 "state of charge drifts for ever.",
             .source = "Kirchhoff's current law: the meter sees only what passes the shunt",
             .mend = "move the negative to the load side of the shunt; only the shunt itself is on the battery's "
                     "negative post"});
    }
}

/// Two numbers make a shunt.
void has_both_ratings(const Plan& plan, Findings& found) {
    for (const Shunt& s : plan.shunts) {
        if (s.rating.known() && s.rated_drop.known()) continue;
        found.push_back({.severity = Severity::note,
                         .rule = "shunt.unknown",
                         .subject = subject(s),
                         .figures = {},
                         .sentence = "The shunt's rated current or drop is not said, so it cannot be checked.",
                         .source = "DIN 43703: a shunt is named by its rated pair",
                         .mend = "give rated_current_a and rated_drop_mv as printed on it"});
    }
}

constexpr std::array<PlanRule, 8> rules{carries_the_load,  outlasts_its_inverter, sees_the_surge,  loses_little,
                                        sees_the_smallest, holds_its_zero,        sees_every_wire, has_both_ratings};

}  // namespace

std::span<const PlanRule> shunt_rules() { return rules; }

}  // namespace amphora::design
