// Where the boot-time clock lies in UTC, and when that was wrong.
#pragma once

#include <optional>
#include <string>

#include "core/quantity/boot_time.hpp"
#include "core/quantity/instant.hpp"
#include "io/live/boot_clock.hpp"
#include "io/record/writer.hpp"

namespace amphora::live {

using record::BootPlace;

/// A first guess. While nothing keeps the clock right it may stand anywhere, as on small computers without a battery
/// for it; then readings go on just after the last of the record (`newest`), so that their order at least is true.
[[nodiscard]] BootPlace first_place(const WallTime& wall, BootTime now, std::optional<Instant> newest);

/// Within one start of the computer readings are timed by the boot-time clock alone; a clock on the wall that is set
/// forward a year or back an hour changes nothing. Only what is kept right from outside (NTP, a GPS receiver) may
/// correct the place of a boot, and then all of its readings move.
class Placement {
public:
    explicit Placement(const BootPlace& place) : place_(place) {}

    [[nodiscard]] Instant utc(BootTime at) const { return Instant{at.us + place_.clock_us}; }
    [[nodiscard]] bool synchronised() const { return place_.synchronised; }

    /// By how many microseconds the readings of this boot must move; nothing while the place is right or nothing better
    /// is known. A difference must stand for ten seconds before it counts. Ask about once a second.
    [[nodiscard]] std::optional<std::int64_t> correction(const WallTime& wall, BootTime now);

    /// The readings have moved.
    void move(std::int64_t shift_us) { place_ = {place_.clock_us + shift_us, true}; }

private:
    BootPlace place_;
    std::optional<std::int64_t> doubt_us_;  // a difference that is being watched
    BootTime doubt_since_;
};

}  // namespace amphora::live
