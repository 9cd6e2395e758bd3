// A moment on the clock that runs from the start of the computer, through sleep too, and that nobody can set.
#pragma once

#include <compare>
#include <cstdint>

#include "core/quantity/quantity.hpp"

namespace amphora {

/// Whole microseconds since the computer started. What is measured live is timed by it: a person or a network may set
/// the clock on the wall at any moment, and no interval may be computed from that.
struct BootTime {
    std::int64_t us = 0;

    constexpr auto operator<=>(const BootTime&) const = default;
    friend constexpr Second operator-(BootTime a, BootTime b) { return Second(static_cast<double>(a.us - b.us) / 1e6); }
    friend constexpr BootTime operator+(BootTime a, Second s) {
        return BootTime{a.us + static_cast<std::int64_t>(s.value() * 1e6)};
    }
};

}  // namespace amphora
