// Shunts and meters side by side, for this system: what each costs and what it buys.
#pragma once

#include <string>
#include <vector>

#include "core/design/plan.hpp"

namespace amphora::design {

/// Points of state of charge (as a share) at which a drift is called bad.
constexpr Fraction drift_points{0.05};

/// Days without a full charge until the meter's offset has put the state of charge this far off: share x capacity /
/// (24 h x offset current). NaN if the offset is not given.
[[nodiscard]] double days_to_drift(const Plan& plan, const Shunt& shunt, Fraction points);

/// The smallest current that runs for hours and should be seen: least standby or appliance. Missing if none is
/// described.
[[nodiscard]] Ampere smallest_load(const Plan& plan);

struct ShuntVerdict {
    std::string name;
    bool in_use = false;
    Money price = Money::missing();
    Ampere rating;
    double load_share = 0.0;   // expected continuous current over what it carries for good
    double surge_share = 0.0;  // surge over its range
    Watt heat;                 // at the expected continuous current
    Volt drop;
    Ampere offset = Ampere::missing();
    double days_to_drift = 0.0;
    Ampere step = Ampere::missing();
    bool carries = false;        // long-time current and heat are fine
    bool sees_smallest = false;  // or nothing is known against it
    [[nodiscard]] bool fit() const { return carries && sees_smallest; }
};

/// One row per shunt that measures the whole battery and has both ratings, in the order of the description.
[[nodiscard]] std::vector<ShuntVerdict> compare_shunts(const Plan& plan);

/// "Is the dearer one worth it here?" in one or two sentences. Empty unless two or more have a price.
[[nodiscard]] std::string advise(const Plan& plan, const std::vector<ShuntVerdict>& verdicts);

}  // namespace amphora::design
