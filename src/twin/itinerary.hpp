// Where the van is and what its people are up to, day by day.
#pragma once

#include "core/quantity/quantity.hpp"
#include "twin/random.hpp"

namespace amphora::twin {

struct ItinerarySpec {
    double drives_per_week = 2;
    Hour drive{1.5};  // typical length
    double shore_stays_per_month = 1;
    double shore_days = 2;        // mean length of a stay
    double away_per_month = 0.2;  // times the people leave the van
    double away_days = 6;
    double shade = 0.2;   // share of days parked under trees
    double rescue = 0.6;  // chance a day that people plug in when the battery is low
    bool shore_when_away = false;
    double patience = 1e9;  // days without a full battery after which people look for a cable
};

/// One day's plan; hours of solar time.
struct DayPlan {
    bool home = true;
    bool weekend = false;
    bool shore = false;
    double shore_from = 0, shore_to = 24;
    double drive_from = 0, drive_to = 0;  // equal: no drive
    double light = 1;                     // share of the sun that the panels see
    double eagerness = 1;                 // factor on the use of appliances
};

class Itinerary {
public:
    Itinerary(const ItinerarySpec& spec, double weekend, double wander, Random random)
        : spec_(spec), weekend_(weekend), wander_(wander), random_(random) {}

    /// The plan for a day (days since the epoch), given how the battery stands at midnight, what the reserve is, and
    /// how many days ago the battery was last full.
    DayPlan plan(long day, Fraction state_of_charge, Fraction reserve, double days_since_full);

private:
    ItinerarySpec spec_;
    double weekend_, wander_;
    Random random_;
    int shore_left_ = 0, away_left_ = 0;
    double parked_light_ = 1;
};

}  // namespace amphora::twin
