// One raw reading of the meter: the only kind of truth the program has.
#pragma once

#include "core/quantity/instant.hpp"
#include "core/quantity/quantity.hpp"

namespace amphora {

/// What the meter said at one moment. Current is positive into the battery (charging), as seen at the battery.
/// A quantity that was not measured is `missing()`.
struct Reading {
    Instant at;
    Ampere current = Ampere::missing();
    Volt voltage = Volt::missing();
    Celsius temperature = Celsius::missing();
};

}  // namespace amphora
