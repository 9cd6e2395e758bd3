// How makers state capacity: so many ampere-hours when emptied evenly in so many hours.
#pragma once

#include "core/quantity/quantity.hpp"

namespace amphora {

/// A row of a battery's data sheet: "100 Ah at the 20-hour rate" is {20 h, 100 Ah}, a discharge with 5 A.
struct HourRating {
    Hour over;
    AmpHour capacity;

    /// The discharge current of this rating, as a positive number.
    [[nodiscard]] constexpr Ampere current() const { return capacity / over; }
};

}  // namespace amphora
