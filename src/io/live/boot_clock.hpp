// The clocks of live operation, behind an interface, so that a rehearsal can run a day in minutes and set the clock
// wrong.
#pragma once

#include <chrono>
#include <string>

#include "core/quantity/boot_time.hpp"
#include "core/quantity/instant.hpp"

namespace amphora::live {

/// What the clock on the wall says, and whether something keeps it right.
struct WallTime {
    Instant at;
    bool synchronised = false;
};

class BootClock {
public:
    virtual ~BootClock() = default;

    /// Since the computer started, through sleep too.
    [[nodiscard]] virtual BootTime now() const = 0;
    /// May jump at any moment, either way.
    [[nodiscard]] virtual WallTime wall() const = 0;
    /// A name for this start of the computer; another after the next start.
    [[nodiscard]] virtual std::string boot_id() const = 0;
    /// How long a timer of this computer waits for so much of this clock's time.
    [[nodiscard]] virtual std::chrono::microseconds wait(Second time) const = 0;
};

/// The computer's own: CLOCK_BOOTTIME, CLOCK_REALTIME, the kernel's word on synchronisation (adjtimex) and its boot id.
[[nodiscard]] const BootClock& computer_clock();

}  // namespace amphora::live
