// How long it lasts: the person's own days, by the hour, carried forward from now.
#pragma once

#include <array>

#include "core/estimate/estimate.hpp"
#include "core/estimate/step.hpp"

namespace amphora {

/// The usual current at each hour of the day and how far it strays, learned with a memory of about two weeks; and the
/// current of the last minutes, which stands for the hours ahead where no day has been seen yet.
class Outlook {
public:
    void learn(const Step& step, Instant end);

    /// Time until `spare` is used up and until `missing` is made good, from `now`. Infinite where it is not
    /// reached within the horizon of ten days; low and high are the edges of the 90 % band. Missing until the current
    /// has been known for ten minutes: a shorter look says nothing of the hours ahead.
    struct Answer {
        TimeRange to_empty;
        TimeRange to_full;
    };
    [[nodiscard]] Answer ahead(Instant now, Uncertain<AmpHour> spare, Uncertain<AmpHour> missing, Ampere offset) const;

    /// The current of about the last quarter of an hour, as measured.
    [[nodiscard]] Ampere recent() const { return Ampere(recent_a_); }

private:
    struct HourOfDay {
        double mean_a = 0.0;
        double spread_sq = 0.0;
        double weight = 0.0;  // days seen
    };
    std::array<HourOfDay, 24> hour_{};
    double recent_a_ = 0.0;
    double recent_spread_sq_ = 0.0;
    double recent_weight_ = 0.0;
    int filling_ = -1;
    double filling_ah_ = 0.0;
    double filling_h_ = 0.0;
};

}  // namespace amphora
