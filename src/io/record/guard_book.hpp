// What the guards did, kept beside the readings for ever: what a relay was told and what it confirmed no reading says.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "io/record/database.hpp"

namespace amphora::record {

/// One thing that a guard or its relay did. Of a guard: tripped, cleared, told (its notices went out). Of a relay:
/// ordered, confirmed, refuses (its read-back contradicts), blind (to its safe state, for nothing is seen), sees.
struct GuardAct {
    std::int64_t at_us = 0;  // UTC
    std::string kind{};
    std::string guard{};       // its name; empty where it is a relay's
    std::string relay{};       // likewise
    std::optional<bool> on{};  // relay: how it is to stand
    // Of a guard, in the unit of what it watches; NaN where not known: what it saw, and the furthest beyond its level.
    double value = std::numeric_limits<double>::quiet_NaN();
    double worst = std::numeric_limits<double>::quiet_NaN();
    bool of_this_boot = true;  // to be kept: it moves with the readings of the boot, should its time be found wrong
};

void store_act(Database& database, std::int64_t boot, const GuardAct& act);

/// Those from `from_us` to before `to_us`, the newest first, at most so many.
[[nodiscard]] std::vector<GuardAct> acts_between(const Database& database, std::int64_t from_us, std::int64_t to_us,
                                                 std::size_t most);

/// True if the same is kept already, whatever boot it belongs to.
[[nodiscard]] bool is_known(const Database& database, const GuardAct& act);

/// The true time of a boot is known: what was done in it moves by so much.
void move_acts(Database& database, std::int64_t boot, std::int64_t shift_us);

}  // namespace amphora::record
