#include "twin/itinerary.hpp"

#include <algorithm>
#include <cmath>

namespace amphora::twin {

DayPlan Itinerary::plan(long day, Fraction state_of_charge, Fraction reserve, double days_since_full) {
    DayPlan p;
    p.weekend = (day + 3) % 7 >= 5;  // 1970-01-01 was a Thursday

    if (away_left_ > 0)
        --away_left_;
    else if (random_.chance(spec_.away_per_month / 30))
        away_left_ = 1 + static_cast<int>(random_.waiting(spec_.away_days));
    p.home = away_left_ == 0;

    const bool arriving = shore_left_ == 0;
    if (shore_left_ > 0)
        --shore_left_;
    else if (random_.chance(spec_.shore_stays_per_month / 30))
        shore_left_ = 1 + static_cast<int>(random_.waiting(spec_.shore_days));
    else if ((state_of_charge < reserve + Fraction(0.08) || days_since_full > spec_.patience) &&
             random_.chance(spec_.rescue))
        shore_left_ = 1;
    p.shore = shore_left_ > 0 && (p.home || spec_.shore_when_away);
    if (p.shore && arriving) p.shore_from = random_.even(7, 20);
    if (p.shore && shore_left_ == 1) p.shore_to = std::max(p.shore_from + random_.even(1, 8), random_.even(8, 24));

    if (p.home && random_.chance(spec_.drives_per_week / 7)) {
        p.drive_from = random_.even(7, 18);
        p.drive_to = std::min(23.5, p.drive_from + spec_.drive.value() * std::exp(0.5 * random_.normal()));
        parked_light_ = random_.chance(spec_.shade) ? random_.even(0.2, 0.8) : 1;
    }
    p.light = parked_light_;
    p.eagerness = std::exp(wander_ * random_.normal()) * (p.weekend ? weekend_ : 1);
    return p;
}

}  // namespace amphora::twin
