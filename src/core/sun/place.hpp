// Where the system stands.
#pragma once

#include "core/quantity/angle.hpp"
#include "core/quantity/length.hpp"

namespace amphora::sun {

/// A place on the Earth: latitude -90..90 (north positive), longitude -180..180 (east positive), height above the sea.
struct Place {
    Degree latitude{};
    Degree longitude{};
    Metre altitude{};
};

}  // namespace amphora::sun
