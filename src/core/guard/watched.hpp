// What a rule watches, picked out of what is seen.
#pragma once

#include "core/guard/situation.hpp"
#include "core/system/protection.hpp"

namespace amphora::guard {

/// The value in the watched quantity's own unit; missing() when it is not known or too old to act on. The voltage
/// without load is V - R I with I positive into the battery (Ohm's law). Infinite for a time to empty that never comes.
[[nodiscard]] Level value_of(const described::Guard& rule, const Situation& situation);

/// True for what no meter says: it is believed, of all that was measured before.
[[nodiscard]] constexpr bool is_believed(Watched watched) {
    return watched == Watched::state_of_charge || watched == Watched::lowest_state_of_charge ||
           watched == Watched::time_to_empty;
}

}  // namespace amphora::guard
