// A moment in time: whole microseconds since 1970-01-01T00:00:00Z, leap seconds ignored as in POSIX time.
#pragma once

#include <compare>
#include <cstdint>

#include "core/quantity/quantity.hpp"

namespace amphora {

/// A moment on the UTC clock. Integer, so that replay and live agree to the bit and ten years lose no resolution.
struct Instant {
    std::int64_t us = 0;

    static constexpr Instant from_unix(double seconds) {
        return Instant{static_cast<std::int64_t>(seconds * 1e6 + (seconds < 0 ? -0.5 : 0.5))};
    }
    [[nodiscard]] constexpr double unix_seconds() const { return static_cast<double>(us) / 1e6; }

    constexpr auto operator<=>(const Instant&) const = default;
    friend constexpr Second operator-(Instant a, Instant b) { return Second(static_cast<double>(a.us - b.us) / 1e6); }
    friend constexpr Instant operator+(Instant a, Second s) {
        return Instant{a.us + static_cast<std::int64_t>(s.value() * 1e6)};
    }
};

}  // namespace amphora
