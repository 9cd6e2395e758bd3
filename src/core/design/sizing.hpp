// Proposes the parts that are missing: battery, panels, inverter, shunt, cables and fuses, from the series that are
// sold.
#pragma once

#include <string>
#include <vector>

#include "core/design/plan.hpp"
#include "core/design/simulate.hpp"

namespace amphora::design {

/// One way to build it: a whole plan, and what it gives up against the others.
struct Proposal {
    std::string name;  // "as wished", "leaner", "sturdier"
    std::string gives_up;
    Plan plan;
    Outcome outcome;  // of a few hundred simulated years
    Money price;      // of what has a price in the description, scaled; missing if nothing has
};

/// Two or three proposals. Appliances, place and wishes are taken from the plan; a battery, panels or inverter that are
/// described already are taken as a wish for their kind, not for their size. Cables of unknown length count 4 m one
/// way.
[[nodiscard]] std::vector<Proposal> propose(const Plan& plan);

/// Gives every circuit that lacks one a cable and a fuse, and makes circuits for what has none. What is described
/// stays.
[[nodiscard]] Plan with_wiring(Plan plan);

/// Length that stands for one that was not said.
constexpr Metre assumed_length{4.0};

}  // namespace amphora::design
