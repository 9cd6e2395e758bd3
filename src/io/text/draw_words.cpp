#include "io/text/draw_words.hpp"

#include <fmt/format.h>

#include "io/text/figure.hpp"

namespace amphora::text {
namespace {

/// The appliance, and whatever else the description has that can be switched off.
std::string others(const std::string& name, const Equipment& equipment) {
    std::string list = name;
    for (const auto& appliance : equipment.appliances)
        if (appliance.name != name) list += ", " + appliance.name;
    for (const auto& charger : equipment.chargers) list += ", the charger " + charger.name;
    return list;
}

}  // namespace

std::string todo_words(DrawStep step, const std::string& name, const Equipment& equipment) {
    switch (step) {
        case DrawStep::off_before:
            return fmt::format(
                "Switch everything off that can be: {} and whatever else draws or charges. What must stay on (an "
                "alarm) "
                "may stay.",
                others(name, equipment));
        case DrawStep::on:
            return fmt::format("Switch {} on, nothing else.", name);
        case DrawStep::off_after:
            return fmt::format("Switch {} off again.", name);
        case DrawStep::done:
            break;
    }
    return "That was all.";
}

std::string result_words(const DrawResult& r, const std::string& name, bool behind_inverter) {
    if (!r.draw.mean.known()) return fmt::format("{}: too few readings with it on and off to say anything.\n", name);
    std::string out;
    const auto add = [&](const std::string& line) { out += line + "\n"; };
    if (r.below_resolution) {
        add(fmt::format("{}: {}. It is too small for this meter to tell it from nothing.", name,
                        at_most(r.at_most.value(), "A")));
        if (!r.cycle) add("If it switches itself on and off, it may not have run: say --cycles, and it is waited for.");
    } else {
        add(fmt::format("{}: {}, that is {} at {:.1f} V{}", name, figure(r.draw),
                        with_band(r.power.mean.value(), r.power.sd.value(), "W"), r.voltage.value(),
                        r.cycle ? ", on average" : ""));
    }
    if (r.cycle) {
        add(fmt::format("It switches itself: {} seen, running {}.", count_of(r.cycle->whole_cycles(), "whole cycle"),
                        r.cycle->duty.known()
                            ? fmt::format("{:.0f} % of the time at about {:.2g} A", r.cycle->duty.value() * 100.0,
                                          (r.cycle->running - r.rest_before).value())
                            : "for an unknown part of the time"));
    }
    if (r.too_few_cycles) add("Fewer than two whole cycles were seen: this is no average yet. Keep it on for longer.");
    if (r.rest_changed)
        add(fmt::format(
            "Something else changed meanwhile: {:.2f} A flowed before and {:.2f} A after. The band allows for "
            "it; stop what comes and goes (a refrigerator, the sun) and repeat.",
            r.rest_before.value(), r.rest_after.value()));
    if (behind_inverter) add("This is what the battery gives, the inverter's loss included.");
    return out;
}

}  // namespace amphora::text
