// Finds in a stream of readings where something was switched: a change of current that lasts.
#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "core/quantity/reading.hpp"

namespace amphora::design {

/// A lasting change of current. Negative: more is drawn.
struct Switching {
    Instant at;
    Ampere change;
};

/// Takes readings in order of time. A change counts once two readings in a row agree on it, so that a starting surge or
/// a single odd reading does not; slow changes (the sun) move the level along. Changes below about a quarter of an
/// ampere, or within the noise, are not told apart.
class SwitchFinder {
public:
    /// The change that this reading confirms.
    std::optional<Switching> push(const Reading& r) {
        const double amperes = r.current.value();
        if (!std::isfinite(level_)) {
            level_ = amperes;
            return std::nullopt;
        }
        const double off = amperes - level_;
        if (std::abs(off) <= tolerance()) {
            constexpr double follow = 0.2;
            noise_ += 0.02 * (std::abs(off) - noise_);
            level_ += follow * off;
            candidate_ = std::numeric_limits<double>::quiet_NaN();
            return std::nullopt;
        }
        if (!(std::abs(amperes - candidate_) <= tolerance())) {
            candidate_ = amperes;
            since_ = r.at;
            return std::nullopt;
        }
        const double settled = (amperes + candidate_) / 2.0;
        const Switching found{since_, Ampere(settled - level_)};
        level_ = settled;
        candidate_ = std::numeric_limits<double>::quiet_NaN();
        return found;
    }

    /// The current that lasts; missing before the first reading.
    [[nodiscard]] Ampere level() const { return Ampere(level_); }

    /// Forgets the level: there was a gap.
    void restart() { *this = {}; }

private:
    [[nodiscard]] double tolerance() const { return std::max({0.25, 0.03 * std::abs(level_), 5.0 * noise_}); }

    double level_ = std::numeric_limits<double>::quiet_NaN();
    double candidate_ = std::numeric_limits<double>::quiet_NaN();
    double noise_ = 0.02;
    Instant since_;
};

}  // namespace amphora::design
