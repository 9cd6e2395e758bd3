#include "io/document/commissioning.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "core/commission/commissioning.hpp"
#include "core/design/chemistry_limits.hpp"
#include "core/design/words.hpp"

namespace amphora::document {

using design::words;

std::vector<Setting> meter_settings(const design::Plan& plan, const System& system) {
    const Battery& b = system.battery;
    const design::ChemistryLimits& chem = design::limits(b.chemistry);
    std::vector<Setting> all{
        {"battery capacity", words(b.design_capacity),
         fmt::format("as stated for a discharge over {}", words(b.rated_over))},
        {"counts as full at or above", words(b.full.voltage), "a little below what the chargers hold at the end"},
        {"and at or below", words(b.full.current_below), "the current has tapered off"},
        {"for", fmt::format("{:.0f} s", b.full.held_for.value()), "so that a cloud or a pump does not fool it"},
        {"reserve", design::percent(b.reserve.value()), "time to empty counts down to it"},
    };
    if (is_lead_acid(b.chemistry))
        all.push_back(
            {"rate exponent (Peukert)", "1.05 to 1.25", "by the battery's data sheet; AGM low, flooded high"});
    for (const auto& s : plan.shunts) {
        if (s.in_use && s.rating.known())
            all.push_back({s.name == "shunt" ? s.name : "shunt " + s.name,
                           fmt::format("{} / {}", words(s.rating), design::millivolts(s.rated_drop)),
                           "the pair printed on it"});
    }
    for (const auto& c : plan.chargers) {
        if (c.absorption.known()) {
            all.push_back({c.name + ": absorption",
                           words(c.absorption) + (c.absorption_time.known() ? ", " + words(c.absorption_time) : ""),
                           fmt::format("{} cells of {} take {} to {}", b.cells_in_series, chem.words,
                                       words(chem.absorption_low * b.cells_in_series),
                                       words(chem.absorption_high * b.cells_in_series))});
        }
        if (chem.wants_compensation || c.compensation_mv != 0.0) {
            all.push_back(
                {c.name + ": temperature compensation",
                 c.compensation_mv == 0.0 ? "none said"
                                          : fmt::format("{} mV/K per cell", design::digits(c.compensation_mv)),
                 chem.wants_compensation ? "-3 to -5 for lead-acid, sensor at the battery" : "0 for lithium"});
        }
        if (c.equalise.known() && c.equalise > Volt(0.0)) {
            all.push_back({c.name + ": equalising", words(c.equalise),
                           chem.equalise_high > Volt(0.0) ? fmt::format("at most {}, by hand and watched",
                                                                        words(chem.equalise_high * b.cells_in_series))
                                                          : "never for this battery"});
        }
        if (c.float_voltage.known()) {
            all.push_back({c.name + ": float", words(c.float_voltage),
                           fmt::format("{} to {}", words(chem.float_low * b.cells_in_series),
                                       words(chem.float_high * b.cells_in_series))});
        }
    }
    return all;
}

std::vector<std::string> commissioning_steps(const design::Plan& plan) {
    std::vector<std::string> steps{
        "Everything off, main fuse out. Rings and chains off; tools insulated.",
        "Every crimp pulled by hand, every screw tight to the maker's torque; no bare copper where something can fall "
        "on it.",
        "Polarity of every positive measured against the negative bar before its fuse goes in.",
        "Nothing but the shunt is on the battery's negative post; every other negative is on the load side of the "
        "shunt.",
        "Fuse by fuse as in the table: rating, kind, and the distance to its source measured.",
        "Main fuse in, everything still off. Now the meter is tested, as `amphora commission` or the page leads:",
    };
    for (std::size_t i = 0; i < commission::step_count; ++i) {
        const auto step = static_cast<commission::Step>(i);
        steps.push_back(fmt::format("{} {}", commission::title_of(step), commission::expectation_of(step)));
    }
    const std::array<const char*, 2> under_load{
        "The largest load on for five minutes: feel along its cable, lugs and fuse holder. Warm is fine; too hot to "
        "hold is not.",
        "Voltage at that load's terminals against voltage at the battery: the difference is no more than the table "
        "says.",
    };
    steps.insert(steps.end(), under_load.begin(), under_load.end());
    if (!plan.chargers.empty()) {
        steps.emplace_back(
            "Each charger on in turn: the meter shows a positive current; the voltage it ends at is the one in the "
            "settings.");
    }
    if (std::ranges::any_of(plan.chargers, [](const auto& c) { return c.kind == design::ChargerKind::solar; })) {
        steps.emplace_back(
            "Panels covered or at dusk while their plugs are joined: a string in the sun makes an arc that does not go "
            "out by itself.");
    }
    if (!plan.inverters.empty()) {
        steps.emplace_back(
            "Inverter output, bonding and residual-current protection: tested and signed for by a licensed "
            "electrician.");
    }
    if (is_lead_acid(plan.bank.battery.chemistry)) {
        steps.emplace_back("The battery box is vented to the outside, and nothing that sparks is inside it.");
    } else {
        steps.emplace_back(
            "The management system's cut-off tried once, as its instructions say; charging refused below 0 °C.");
    }
    steps.emplace_back("Charged until full once, and the meter told so or seen to notice it by itself.");
    return steps;
}

}  // namespace amphora::document
