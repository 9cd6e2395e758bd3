#include "io/web/api/reason.hpp"

#include <fmt/format.h>

#include <cmath>

#include "io/text/calendar.hpp"
#include "io/text/figure.hpp"

namespace amphora::web {
namespace {

std::string name(Evidence kind) {
    switch (kind) {
        case Evidence::full:
            return "the battery was full: the charger held its voltage and the current had fallen away";
        case Evidence::empty:
            return "the battery was empty: its voltage fell to its end";
        case Evidence::rest_voltage:
            return "the voltage at rest";
        case Evidence::voltage_under_load:
            return "the voltage, allowing for the current";
        case Evidence::none:
            break;
    }
    return "nothing";
}

std::string pinned(const Present& p, const System&) {
    const LastEvidence& e = p.estimate.evidence;
    if (e.kind == Evidence::none)
        return "Nothing has pinned it yet: neither full, nor empty, nor a rest. The band is wide until something does.";
    return fmt::format("What pinned it last, on {} UTC: {}. Counted since: {:.1f} Ah out, {:.1f} Ah in.",
                       text::date_and_time(e.at), name(e.kind), e.out_since.value(), e.in_since.value());
}

std::string newest(const Present& p, const System&) {
    const auto part = [](double value, const char* unit) {
        return std::isfinite(value) ? fmt::format("{:.2f} {}", value, unit) : std::string("not measured");
    };
    return fmt::format("The newest reading, of {} UTC: current {}, voltage {}, temperature {}.",
                       text::date_and_time(p.estimate.at), part(p.estimate.current.value(), "A"),
                       part(p.estimate.voltage.value(), "V"), part(p.estimate.temperature.value(), "°C"));
}

std::string capacity(const Present& p, const System& s) {
    return fmt::format("It holds {}; the label says {:g} Ah over {:g} h.",
                       text::figure(p.estimate.full_charge_capacity), s.battery.design_capacity.value(),
                       s.battery.rated_over.value());
}

std::string above_reserve(const Present& p, const System& s) {
    return fmt::format("{} of {} is the charge that is there; {:.0f} % of it is the reserve, which leaves {}.",
                       text::figure(p.estimate.state_of_charge), text::figure(p.estimate.full_charge_capacity),
                       100 * s.battery.reserve.value(), text::figure(p.estimate.remaining));
}

std::string offset(const Present& p, const System&) {
    return fmt::format("When nothing flows the meter would read {}.", text::figure(p.estimate.meter_offset));
}

std::string usual_days(const Present& p, const System&) {
    return fmt::format("The current of each hour of the day in about the last two weeks, and {} now.",
                       p.estimate.current.known() ? fmt::format("{:.1f} A", p.estimate.current.value())
                                                  : std::string("no current measured"));
}

std::string since_full(const Present& p, const System&) {
    if (!p.full) return "It has not been seen full yet.";
    return fmt::format("Last full on {} UTC; since then {:.1f} Ah out, {:.1f} Ah in.", text::date_and_time(p.full->at),
                       p.full->since.out.value(), p.full->since.in.value());
}

std::string whole_record(const Present& p, const System&) {
    return fmt::format("All readings of the span in the record, up to {} UTC.", text::date_and_time(p.estimate.at));
}

std::string the_description(const Present&, const System& s) {
    return fmt::format("The description of {}: what it says of each appliance, charger and of the place.", s.name);
}

}  // namespace

const std::vector<Reason>& reasons() {
    static const std::vector<Reason> all{
        {"state_of_charge", "Why this much?", "The share that is left of the charge the battery holds when it is full.",
         "What was missing from full before, less the charge that came in (a little of it is lost), plus the charge "
         "that "
         "went out, plus what the battery lost by itself; the meter's own offset is taken off first. Divided by what "
         "the "
         "battery holds.",
         "Charge is counted reading by reading, and set right whenever the battery shows where it stands: when it is "
         "full, at the ends of its voltage curve, or at rest where that curve is steep. On the flat part of the curve "
         "the "
         "voltage only keeps the belief inside a fence.",
         "An extended Kalman filter for batteries (G. Plett, Journal of Power Sources 134, 2004); charge acceptance "
         "near "
         "full after J. Stevens and G. Corey, IEEE PVSC 1996.",
         pinned},
        {"band", "How sure is it?", "Nine times out of ten the truth lies inside the band.",
         "The estimate, and on each side 1.645 times its standard deviation.",
         "The band widens while charge is only counted, for no meter counts perfectly, and narrows when the battery "
         "shows "
         "where it stands. Errors of the battery's model last for hours, so that many looks at the same voltage do not "
         "make it surer.",
         "The two-sided 90 % quantile of the normal distribution; expression of uncertainty as in the GUM (JCGM "
         "100:2008).",
         pinned},
        {"remaining", "Why these ampere-hours?", "The charge that is there to be used, above the reserve.",
         "State of charge less the reserve, times what the battery holds.",
         "The reserve is the part that the description keeps back; time to empty counts down to it.",
         "Remaining capacity as in the Smart Battery Data Specification 1.1; the reserve is the owner's own choice.",
         above_reserve},
        {"time_to_empty", "Why until then?", "When only the reserve is left, if the days go as they usually do.",
         "Hour by hour from now: the charge above the reserve, less what that hour of the day usually takes, plus what "
         "it "
         "usually brings.",
         "The nearest hours go by what flows now, the later ones by your own days; the sun that usually comes is "
         "counted "
         "in. The range is as wide as your days differ and as the charge is doubtful. Ten days are looked ahead.",
         "Our own rule; no published source. How often it came true is in docs/accuracy.md.", usual_days},
        {"time_to_full", "Why full by then?", "When the battery is full, if the days go as they usually do.",
         "Hour by hour from now: the charge that is missing, less what that hour of the day usually brings over what "
         "it "
         "takes.",
         "As for how long it lasts.", "Our own rule; no published source.", usual_days},
        {"current", "What is this current?", "What flows into the battery (in) or out of it (out), as the meter says.",
         "The voltage across the shunt, divided by its resistance.",
         "Shown as measured; the meter's offset is taken off only where charge is counted.",
         "Ohm's law; the shunt's rated pair from the description.", newest},
        {"power", "What is this power?", "The power that the battery gives or takes at its own terminals.",
         "Voltage times current, of the same reading.", "Losses in cables and in the inverter come on top, elsewhere.",
         "The definition of electric power.", newest},
        {"voltage", "What does the voltage say?", "The voltage at the battery, as measured.", "As the meter says it.",
         "Under load it is lower and while charging higher than at rest, so it alone does not tell how much is left.",
         "Measured.", newest},
        {"full_charge_capacity", "What does the battery hold?", "The charge it gives from full to empty, as it is now.",
         "Charge counted between two moments at which the state of charge was known, divided by how far the state of "
         "charge moved between them.",
         "It begins with the label and its tolerance, and is learned slowly; both ends have their own doubt, and both "
         "count.",
         "Total least squares on charge and state of charge (G. Plett, Journal of Power Sources 196, 2011), as one of "
         "the "
         "filter's states.",
         capacity},
        {"meter_offset", "Does the meter read true?", "What the meter shows when nothing flows.",
         "The drift of counted charge between two moments at which the state of charge was known, divided by the time "
         "between them.",
         "It is taken off before anything is counted. A part of the current that does not pass the shunt looks the "
         "same.",
         "One of the filter's states; see docs/explanation/meter-errors.md.", offset},
        {"last_full", "When was it full?", "The last moment at which everything said that the battery was full.",
         "The voltage at or above the description's, the current at or below it, for as long as it says.",
         "What passes for full on a system may be a little short of it every time: that doubt is in every band.",
         "The description's evidence for full; common practice, no source.", since_full},
        {"hindsight", "Why is the past drawn twice?", "What is known by now of how much was left then.",
         "The same readings read backward from what became known later, and joined with what was known at the time.",
         "When the battery next reaches full, the days before are known better than they were when they were lived.",
         "Modified Bryson-Frazier smoother (G. Bierman, Factorization Methods for Discrete Sequential Estimation, "
         "1977).",
         whole_record},
        {"in_out", "Why these amounts of in and out?", "The charge that came into the battery and that went out of it.",
         "Each reading's current, times the time until the next reading; in and out are summed apart.",
         "A reading stands for at most a minute, or four times the step before it: a gap is not counted. What a "
         "charger "
         "brings while an appliance takes as much does not pass the meter.",
         "Counting charge; common practice, no source.", whole_record},
        {"budget", "Why does an appliance take this much?", "What it takes on a mean day of the month.",
         "Its power while it runs, times its hours a day and its duty, plus its standby around the clock; behind the "
         "inverter divided by the inverter's efficiency.",
         "This is the description's word, not a measurement: the line below says what was measured in all.",
         "The description; the sun by a clear-sky and plane-of-array model, see the plan.", the_description},
    };
    return all;
}

}  // namespace amphora::web
