// What a person reads: the acts of every step, what is expected, and what an outcome means.
#include "core/commission/commissioning.hpp"

namespace amphora::commission {

std::string_view title_of(Step step) {
    switch (step) {
        case Step::direction:
            return "Is the shunt the right way round?";
        case Step::bypass:
            return "Does everything go through the shunt?";
        case Step::zero:
            return "What does the meter show when nothing flows?";
        case Step::gain:
            return "Does it show the right amount?";
        case Step::full_evidence:
            break;
    }
    return "Will it know when the battery is full?";
}

std::string_view expectation_of(Step step) {
    switch (step) {
        case Step::direction:
            return "A load makes the current more negative, by about its watts over the volts.";
        case Step::bypass:
            return "With the main switch open nothing works any more, and the meter shows next to nothing.";
        case Step::zero:
            return "A steady value near zero, within the meter's data sheet.";
        case Step::gain:
            return "This meter and a second one agree within two in a hundred and the second one's own error.";
        case Step::full_evidence:
            break;
    }
    return "A charger holds at least the voltage that the description takes for full.";
}

const std::vector<Act>& acts_of(Step step) {
    static const std::vector<Act> direction{
        {"Switch everything off, chargers too; cover the panels or open their switch. Leave the main switch closed.",
         Ask::nothing, "", Second(20)},
        {"Switch on one load that you know well: a heater or lamps, best more than 50 W. Wait until it runs evenly.",
         Ask::watts, "How many watts does it take, by its label?", Second(20)}};
    static const std::vector<Act> bypass{
        {"Switch the loads off again. Open the battery's main switch, so that nothing is fed. Keep the meter itself "
         "fed.",
         Ask::yes_or_no, "Does anything still work (a lamp, the refrigerator, a charger's display)?", Second(20)}};
    static const std::vector<Act> zero{
        {"Leave the main switch open and everything off. Nothing may flow through the shunt now.", Ask::nothing, "",
         Second(120)}};
    static const std::vector<Act> gain{
        {"Close the main switch. If you have a clamp meter for direct current, null it and put it around the battery's "
         "negative cable. Switch on a steady load, the larger the better. Without a second meter, leave this step out.",
         Ask::amperes, "What does the second meter show, in amperes (as a positive number)?", Second(20)}};
    static const std::vector<Act> full{
        {"Nothing to do: this compares the description with the chargers.", Ask::nothing, "", Second(0)}};
    switch (step) {
        case Step::direction:
            return direction;
        case Step::bypass:
            return bypass;
        case Step::zero:
            return zero;
        case Step::gain:
            return gain;
        case Step::full_evidence:
            break;
    }
    return full;
}

std::string_view words_of(Meaning meaning) {
    switch (meaning) {
        case Meaning::right_way_round:
            return "The load shows as negative and in about its size.";
        case Meaning::reversed:
            return "The load shows as positive: the two sense wires or the two sides of the shunt are exchanged. "
                   "Exchange "
                   "the sense wires, or turn the channel's sign in the description, and repeat this step.";
        case Meaning::load_not_seen:
            return "The load does not show: its negative goes to the battery directly instead of the load side of the "
                   "shunt, or the sense wires are loose.";
        case Meaning::load_other_size:
            return "The load shows in another size: look at the shunt's rated pair in the description first; then at "
                   "the "
                   "load's label, which may state its most and not its usual.";
        case Meaning::load_too_small:
            return "The load is too small against the noise of the meter: repeat with a larger one.";
        case Meaning::all_through_shunt:
            return "With the main switch open nothing works and nothing flows.";
        case Meaning::something_bypasses:
            return "Something works though nothing flows through the shunt: it is connected around both. Find its "
                   "wires at the battery's posts and move the negative to the load side of the shunt. What must stay "
                   "connected (a bilge pump, an alarm) goes behind the shunt as well, before the switch.";
        case Meaning::something_left_on:
            return "Current flows with the main switch open: something is connected between shunt and switch, or the "
                   "meter's zero is far off. Disconnect what you find; the next step measures the zero.";
        case Meaning::zero_small:
            return "The zero is good. The estimator learns what is left of it.";
        case Meaning::zero_large:
            return "The zero is off: null the meter if it can be, look for dirt and warmth at the sense wires. "
                   "Uncorrected, "
                   "it counts a charge every day that never flowed.";
        case Meaning::zero_too_noisy:
            return "The zero is not known well enough to judge it: something flows after all, or the meter is noisy. "
                   "Repeat "
                   "with everything disconnected.";
        case Meaning::gain_agrees:
            return "The two meters agree.";
        case Meaning::gain_differs:
            return "The two differ by more than their errors allow: look at the shunt's rated pair in the description, "
                   "and "
                   "whether the second meter was nulled. If it is the better one, correct the channel's scale.";
        case Meaning::gain_reference_too_small:
            return "The current is too small to compare two meters: repeat with a larger load.";
        case Meaning::full_reachable:
            return "A charger reaches the voltage; when its current has tapered off, the battery counts as full.";
        case Meaning::full_never_reached:
            return "No charger reaches the voltage that the description takes for full: it would never be told full, "
                   "and the "
                   "figure would drift. Set [battery.full] below the chargers' absorption voltage, or set the charger.";
        case Meaning::full_no_charger:
            return "No charger with an absorption voltage is described: whether full is ever seen cannot be said. "
                   "Describe "
                   "the chargers.";
        case Meaning::no_readings:
            return "No readings came while it was measured: is the source running?";
        case Meaning::left_out:
            break;
    }
    return "Left out.";
}

}  // namespace amphora::commission
