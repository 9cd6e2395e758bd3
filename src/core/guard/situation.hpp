// What a protective rule gets to see: the newest figures of all sources, how old each is, and what is believed of the
// battery.
#pragma once

#include <optional>
#include <span>
#include <string>

#include "core/quantity/boot_time.hpp"
#include "core/quantity/instant.hpp"
#include "core/quantity/quantity.hpp"
#include "core/system/live.hpp"

namespace amphora::guard {

/// The newest figure of one channel. The value is in V, A (positive into the battery), degrees Celsius, W or a share of
/// 1; a shunt's drop comes as a current.
struct Seen {
    Measurand measures = Measurand::current;
    Subject of = Subject::battery;
    std::string whose;  // name of the charger, appliance, probe
    int cell = 0;       // of a cell's voltage, from 1
    std::string source;
    double value = 0.0;
    Second age{};         // since it was measured, by the boot-time clock
    bool silent = false;  // older than its source's patience, or never seen: not to be acted on
};

/// How long it lasts, as a range: nine times out of ten between low and high.
struct TimeLeft {
    Second low = Second::missing();
    Second likely = Second::missing();
    Second high = Second::missing();
};

struct Situation {
    BootTime now;                // delays and minimum times run on this clock
    std::optional<Instant> utc;  // for quiet hours; nothing while the time of day is not known
    std::span<const Seen> seen;  // one for each channel of the description, in its order

    // The battery as a whole, the best source of each chosen; missing() when all are silent.
    Ampere current = Ampere::missing();
    Volt voltage = Volt::missing();
    Celsius temperature = Celsius::missing();
    Second age = Second::missing();  // of the newest reading of the battery
    Second up = Second::missing();   // since the program started; missing() where that does not matter

    // What is believed; missing() until enough of the record's past has been read.
    Uncertain<Fraction> state_of_charge{Fraction::missing(), Fraction::missing()};
    TimeLeft to_empty;
    std::optional<Instant> reading_past_since;  // the record's past is being read; nothing once it is read
};

}  // namespace amphora::guard
