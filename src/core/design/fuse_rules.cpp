#include <algorithm>
#include <array>

#include "core/design/chemistry_limits.hpp"
#include "core/design/load.hpp"
#include "core/design/rules.hpp"
#include "core/design/words.hpp"

namespace amphora::design {
namespace {

std::string subject(const Circuit& c) { return "circuit " + c.name; }

std::string fuse_name(const Protection& p) { return words(p.rating) + " " + std::string(data(p.kind).words); }

bool from_battery(const Plan& plan, const Circuit& c) { return parent_of(plan, c) == nullptr; }

/// Fuses fast enough to hold the current down before it reaches its peak.
bool limits_current(FuseKind kind) { return kind == FuseKind::class_t || kind == FuseKind::nh; }

/// Is there a fuse upstream that breaks what this one cannot? A capacity that was given for this very part is taken at
/// its word, and only a current-limiting fuse then stands in for it. A weak fuse upstream is reported up there, once.
bool is_backed_up(const Plan& plan, const Circuit& c) {
    int steps = 0;
    for (const Circuit* up = parent_of(plan, c); up != nullptr && steps < 16; up = parent_of(plan, *up), ++steps) {
        if (!up->protection) continue;
        if (!c.protection->interrupts.known()) return true;
        if (limits_current(up->protection->kind) && up->protection->capacity(plan.nominal) >= fault_current(plan, *up))
            return true;
    }
    return false;
}

/// Is the cable protected by the fuse of the circuit before it?
bool is_covered(const Plan& plan, const Circuit& c) {
    if (!c.run) return false;
    int steps = 0;
    for (const Circuit* up = parent_of(plan, c); up != nullptr && steps < 16; up = parent_of(plan, *up), ++steps) {
        if (up->protection) return up->protection->rating <= ampacity(c.run->size, c.run->laying).corrected();
    }
    return false;
}

std::string size_advice(const Plan& plan, const Circuit& c) {
    if (!c.run) return "";
    const Ampere load = load_of(plan, c, Reckoning::installed).greatest();
    const Ampere can = ampacity(c.run->size, c.run->laying).corrected();
    const FuseKind kind = c.protection ? c.protection->kind : FuseKind::blade;
    const auto least = next_rating(kind, load / continuous_share);
    if (least && *least <= can)
        return "a " + words(*least) + " " + std::string(data(kind).words) + " suits cable and load";
    return "the cable must carry at least " + words(load / continuous_share) + " before any fuse suits both";
}

/// Every circuit needs one, the battery's own first of all.
void has_protection(const Plan& plan, const Circuit& c, Findings& found) {
    if (c.protection || is_covered(plan, c)) return;
    const bool at_battery = from_battery(plan, c);
    found.push_back({.severity = Severity::danger,
                     .rule = at_battery ? "fuse.main" : "fuse.missing",
                     .subject = subject(c),
                     .figures = {{"short-circuit current", fault_current(plan, c).value(), "A"}},
                     .sentence = std::string(at_battery ? "This cable leaves the battery without a fuse: "
                                                        : "No fuse protects this cable: ") +
                                 "a short would drive about " + words(fault_current(plan, c)) +
                                 " through it until something burns.",
                     .source = "33 CFR 183.455(a), (b); ISO 10133:2012 clause 8",
                     .mend = "put a fuse at its source; " + size_advice(plan, c)});
}

/// The fuse protects the cable, so the cable must outlast it.
void protects_its_cable(const Plan& plan, const Circuit& c, Findings& found) {
    if (!c.protection || !c.run) return;
    const Ampacity can = ampacity(c.run->size, c.run->laying);
    const Ampere rating = c.protection->rating;
    if (rating <= can.corrected()) return;
    const bool only_bundled = rating <= can.alone() && plan.nominal < Volt(50.0);
    const bool far_over = rating > can.corrected() * most_over_ampacity && !only_bundled;
    found.push_back({.severity = far_over ? Severity::danger : Severity::warning,
                     .rule = "fuse.too-large",
                     .subject = subject(c),
                     .figures = {{"rating", rating.value(), "A"},
                                 {"ampacity here", can.corrected().value(), "A"},
                                 {"150 % of it", can.corrected().value() * most_over_ampacity, "A"}},
                     .sentence = "The " + fuse_name(*c.protection) + " is above what " + name(c.run->size) +
                                 " carries here (" + words(can.corrected()) +
                                 (far_over ? "), even above 150 % of it: the cable burns before the fuse opens."
                                           : "): an overload heats the cable for long before the fuse opens."),
                     .source = "33 CFR 183.455(c)(1): at most 150 % of ampacity under 50 V; ISO 10133: at most 100 % "
                               "(from memory); ampacity by " +
                               std::string(can.source),
                     .mend = size_advice(plan, c)});
}

/// A fuse run at its limit blows on a warm day.
void carries_the_load(const Plan& plan, const Circuit& c, Findings& found) {
    if (!c.protection) return;
    const Ampere load = load_of(plan, c, Reckoning::installed).greatest();
    const double share = load / c.protection->rating;
    if (share <= continuous_share * 1.01) return;
    found.push_back(
        {.severity = Severity::warning,
         .rule = "fuse.too-small",
         .subject = subject(c),
         .figures = {{"load", load.value(), "A"}, {"rating", c.protection->rating.value(), "A"}},
         .sentence = "The " + fuse_name(*c.protection) + " would carry " + words(load) + ", " + percent(share) +
                     " of its rating; more than 80 % for long opens it without a fault.",
         .source = "fuse selection practice (load at most 80 % of the rating); NEC 210.20(A), 125 % of continuous load",
         .mend = size_advice(plan, c)});
}

/// Starting currents should pass.
void stands_the_surge(const Plan& plan, const Circuit& c, Findings& found) {
    if (!c.protection) return;
    const Ampere surge = load_of(plan, c, Reckoning::installed).out_surge;
    const FuseKindData& kind = data(c.protection->kind);
    if (surge <= c.protection->rating * kind.stands_surge) return;
    found.push_back(
        {.severity = Severity::warning,
         .rule = "fuse.surge",
         .subject = subject(c),
         .figures = {{"surge", surge.value(), "A"},
                     {"stands for about a second", (c.protection->rating * kind.stands_surge).value(), "A"}},
         .sentence = "A starting current of " + words(surge) + " is " + digits(surge / c.protection->rating, 2) +
                     " times the rating of the " + fuse_name(*c.protection) + "; this kind stands about " +
                     digits(kind.stands_surge, 2) + " times for a second.",
         .source = std::string(kind.standard) + " time-current windows (from memory)",
         .mend = "take a slower kind or the next rating that the cable still allows"});
}

/// What lies between source and fuse is not protected.
void sits_near_its_source(const Plan& plan, const Circuit& c, Findings& found) {
    if (!c.protection || !c.protection->from_source.known()) return;
    const Metre open(0.178);       // 7 inches
    const Metre sheathed(1.016);   // 40 inches
    const Metre at_battery(1.83);  // 72 inches
    const Metre most = !c.sheathed ? open : from_battery(plan, c) ? at_battery : sheathed;
    if (c.protection->from_source <= most * 1.02) return;
    found.push_back({.severity = Severity::danger,
                     .rule = "fuse.place",
                     .subject = subject(c),
                     .figures = {{"distance", c.protection->from_source.value(), "m"}, {"most", most.value(), "m"}},
                     .sentence = "The fuse sits " + words(c.protection->from_source) +
                                 " of wire from its source; that length is "
                                 "unprotected, and " +
                                 words(most) + " is the most " +
                                 (c.sheathed ? "inside a sheath." : "without a sheath."),
                     .source = "33 CFR 183.455(b): 7 in, 40 in inside a sheath; ABYC E-11: 72 in from a battery post "
                               "inside a sheath (from memory)",
                     .mend = c.sheathed ? "move the fuse to its source"
                                        : "move the fuse to its source, or sheath the wire all the way to it"});
}

/// The least kind in this rating that does, and the two that always do.
std::string kinds_that_break(const Plan& plan, const Protection& p, Ampere fault) {
    const auto fits = [&](const FuseKindData& k) {
        return k.kind != FuseKind::glass && interrupts_at(k.kind, plan.nominal) >= fault &&
               k.highest >= p.withstands() && is_stocked(k.kind, p.rating);
    };
    const auto least = std::ranges::find_if(fuse_kinds(), fits);
    const std::string always = "a class T (20 kA) or knife-blade fuse (25 kA)";
    if (least == fuse_kinds().end() || limits_current(least->kind))
        return "use " + always + " here or as main fuse before it";
    return "use a " + std::string(least->words) + " (" + words(interrupts_at(least->kind, plan.nominal)) +
           ") here, or " + always + " as main fuse before it";
}

/// A fuse that cannot break the fault keeps an arc burning.
void breaks_the_fault(const Plan& plan, const Circuit& c, Findings& found) {
    if (!c.protection) return;
    const Ampere fault = fault_current(plan, c);
    const Ampere can = c.protection->capacity(plan.nominal);
    if (fault <= can || is_backed_up(plan, c)) return;
    const bool at_battery = from_battery(plan, c);
    const bool estimated = source_of(plan).estimated;
    found.push_back(
        {.severity = at_battery && !estimated ? Severity::danger : Severity::warning,
         .rule = "fuse.interrupting",
         .subject = subject(c),
         .figures = {{"short-circuit current", fault.value(), "A"}, {"interrupts", can.value(), "A"}},
         .sentence = "The " + fuse_name(*c.protection) + " breaks at most " + words(can) +
                     "; a short at its place reaches " + (estimated ? "an estimated " : "") + words(fault) +
                     ", and the arc would not go out.",
         .source =
             std::string("ABYC E-11: interrupting capacity at least the bank's short-circuit current; ") +
             (c.protection->interrupts.known() ? "capacity as given" : "capacity typical of the kind (from memory)") +
             (estimated ? "; bank's resistance typical of its kind (from memory)" : ""),
         .mend = kinds_that_break(plan, *c.protection, fault) +
                 (estimated ? "; give the battery maker's short-circuit current" : "")});
}

/// Voltage across an open fuse.
void stands_the_voltage(const Plan& plan, const Circuit& c, Findings& found) {
    if (!c.protection) return;
    const Battery& b = plan.bank.battery;
    const Volt highest = std::max(working_high(plan), limits(b.chemistry).absorption_high * b.cells_in_series);
    if (highest <= c.protection->withstands()) return;
    found.push_back({.severity = Severity::danger,
                     .rule = "fuse.voltage",
                     .subject = subject(c),
                     .figures = {{"system at its highest", highest.value(), "V"},
                                 {"fuse", c.protection->withstands().value(), "V"}},
                     .sentence = "The " + fuse_name(*c.protection) + " is made for " +
                                 words(c.protection->withstands()) + "; this system reaches " + words(highest) + ".",
                     .source = "33 CFR 183.455(d)",
                     .mend = "use a kind rated for the system's voltage"});
}

/// Does such a part exist, and is the kind fit for the place?
void is_of_a_fit_kind(const Plan& plan, const Circuit& c, Findings& found) {
    if (!c.protection) return;
    const Protection& p = *c.protection;
    const FuseKindData& kind = data(p.kind);
    if (p.rating > Ampere(kind.ratings.back())) {
        found.push_back(
            {.severity = Severity::warning,
             .rule = "fuse.kind",
             .subject = subject(c),
             .figures = {{"rating", p.rating.value(), "A"}, {"largest of its kind", kind.ratings.back(), "A"}},
             .sentence = "A " + std::string(kind.words) + " of " + words(p.rating) +
                         " does not exist; the kind ends at " + words(Ampere(kind.ratings.back())) + ".",
             .source = std::string(kind.standard) + " stock sizes (from memory)",
             .mend = "use a bolt-down kind"});
        return;
    }
    const bool feeder = c.purpose == Purpose::main || c.purpose == Purpose::inverter ||
                        (c.purpose == Purpose::panel && from_battery(plan, c));
    const bool plugs_in = p.kind == FuseKind::blade || p.kind == FuseKind::blade_mini || p.kind == FuseKind::glass;
    if (feeder && plugs_in) {
        const char* what = c.purpose == Purpose::inverter ? "an inverter" : "a feeder";
        found.push_back({.severity = Severity::warning,
                         .rule = "fuse.kind",
                         .subject = subject(c),
                         .figures = {{"breaks at most", kind.interrupts.value(), "A"}},
                         .sentence = "A " + std::string(kind.words) + " is no fuse for " + what + ": it breaks " +
                                     words(kind.interrupts) +
                                     " at most, and its plug-in contacts get hot at a current that lasts.",
                         .source = "ABYC E-11 (main device at the battery, from memory); common practice",
                         .mend = "use a bolt-down kind: class T, knife-blade or battery-post at the battery"});
        return;
    }
    if (is_stocked(p.kind, p.rating)) return;
    found.push_back({.severity = Severity::note,
                     .rule = "fuse.size",
                     .subject = subject(c),
                     .figures = {{"rating", p.rating.value(), "A"}},
                     .sentence = words(p.rating) + " is not a usual size of a " + std::string(kind.words) + ".",
                     .source = std::string(kind.standard) + " stock sizes (from memory)",
                     .mend = "check that you can buy it"});
}

/// The fuse nearest to the fault should open, not the one before it.
void opens_before_its_parent(const Plan& plan, const Circuit& c, Findings& found) {
    if (!c.protection) return;
    const Circuit* up = parent_of(plan, c);
    if (up == nullptr || !up->protection) return;
    const bool same_kind = up->protection->kind == c.protection->kind;
    const double ratio = up->protection->rating / c.protection->rating;
    if (ratio >= (same_kind ? selective_ratio * 0.98 : 1.0 + 1e-9)) return;
    found.push_back(
        {.severity = ratio <= 1.0 ? Severity::warning : Severity::note,
         .rule = "fuse.selectivity",
         .subject = subject(c),
         .figures = {{"this", c.protection->rating.value(), "A"}, {"before it", up->protection->rating.value(), "A"}},
         .sentence = "A fault here may open the " + words(up->protection->rating) + " fuse of " + up->name +
                     " before the " + words(c.protection->rating) + " one of this circuit, and everything goes dark.",
         .source = "trade rule 1:1.6 between fuses of one kind",
         .mend = "make this one smaller or the one before it larger, as the cables allow"});
}

constexpr std::array<CircuitRule, 9> rules{has_protection,     protects_its_cable,   carries_the_load,
                                           stands_the_surge,   sits_near_its_source, breaks_the_fault,
                                           stands_the_voltage, is_of_a_fit_kind,     opens_before_its_parent};

}  // namespace

std::span<const CircuitRule> fuse_rules() { return rules; }

}  // namespace amphora::design
