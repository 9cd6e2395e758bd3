// What the page is told, whoever knows it: the demonstration from its memory, a page server from the record.
#pragma once

#include <optional>
#include <vector>

#include "core/estimate/estimate.hpp"
#include "core/quantity/instant.hpp"
#include "core/quantity/quantity.hpp"
#include "core/system/system.hpp"

namespace amphora::web {

/// Charge that went in and out over some time, both positive.
struct Throughput {
    AmpHour in{};
    AmpHour out{};
};

struct SinceFull {
    Instant at;  // when it was last known to be full
    Throughput since;
};

struct Present {
    Estimate estimate;
    std::optional<SinceFull> full;              // nothing when it never was
    Second age{};                               // of the newest reading, by this computer's clock
    Second fresh_for{};                         // a reading older than this is told as old
    std::optional<double> demonstration_speed;  // how fast an invented van's clock runs; nothing for a real one
};

/// A piece of the past. A quantity that was not measured or not known then is `missing()`.
struct Bucket {
    Instant from;
    Uncertain<Fraction> state_of_charge{Fraction::missing(), Fraction::missing()};  // mean, as known at the time
    Uncertain<Fraction> hindsight{Fraction::missing(), Fraction::missing()};        // mean, as known now
    Ampere current_low = Ampere::missing();
    Ampere current = Ampere::missing();  // mean
    Ampere current_high = Ampere::missing();
    Volt voltage = Volt::missing();  // mean
    Throughput moved;
};

/// Asked from the server's thread only; must answer without waiting for anything.
class PageSource {
public:
    virtual ~PageSource() = default;

    [[nodiscard]] virtual const System& system() const = 0;
    [[nodiscard]] virtual Present present() const = 0;

    /// The first moment of which anything is known.
    [[nodiscard]] virtual Instant beginning() const = 0;

    /// The past from `from` to `to` in that many pieces of equal length, oldest first; `from` < `to`, count >= 1.
    [[nodiscard]] virtual std::vector<Bucket> series(Instant from, Instant to, int count) const = 0;
};

}  // namespace amphora::web
