// Rules to begin with, by chemistry: for a person to read, change and keep in the description.
#pragma once

#include <string_view>
#include <vector>

#include "core/system/system.hpp"

namespace amphora::guard {

/// A rule and why it is there.
struct ReadyMade {
    described::Guard guard;
    std::string_view why;
};

struct ReadyMadeSet {
    std::vector<ReadyMade> guards;
    std::vector<described::Relay> relays;  // that the rules switch and the description does not have: rehearsals
};

/// Rules for the battery of a system. They use its relays by what those switch, and all of its notices; where it has no
/// relay for the loads or the charging, one that only rehearses stands in. The battery management system is the last
/// line; these act before it.
///
/// Levels are per cell and common practice, from memory, but for: LFP not charged below 0 C (cell data sheets); end of
/// discharge of lead-acid 1.75 V a cell at the ten- and twenty-hour rate (makers' data sheets); overload by curve C of
/// IEC 60255-151.
[[nodiscard]] ReadyMadeSet ready_made(const System& system);

}  // namespace amphora::guard
