// A van with known truth: weather, chargers, household, battery and meter, stepped together.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "core/quantity/reading.hpp"
#include "core/system/system.hpp"
#include "twin/bank.hpp"
#include "twin/charger.hpp"
#include "twin/household.hpp"
#include "twin/itinerary.hpp"
#include "twin/shunt.hpp"
#include "twin/weather.hpp"

namespace amphora::twin {

/// Everything that makes one van, drawn or written down.
struct VanSpec {
    std::uint64_t seed = 1;
    Instant start{};
    Second interval{5};  // between readings
    System system;       // as the owner would have described it: the label, not the truth
    BankSpec bank;
    Fraction start_charge{0.6};
    std::vector<ChargerSpec> chargers;
    HouseholdSpec household;
    ItinerarySpec itinerary;
    WeatherSpec weather;
    ShuntSpec shunt;
    Fraction shed_below{0.05};  // people turn everything off below, until 0.1 above
    Hour battery_lag{6};        // time constant of the battery's temperature behind the air in the van
    Celsius warm_room{10};      // air in the van does not fall below this while people are at home
};

/// What really is, at the end of a step.
struct Truth {
    Instant at;
    Fraction state_of_charge;  // of the true capacity
    Ampere current;            // mean over the step
    Volt voltage;
    Celsius temperature;
    AmpHour capacity;
    Ampere offset;    // of the meter, now
    double gain = 0;  // error of the meter, as a share
    AmpHour stored;   // net charge that went into the cells since the start
};

class Van {
public:
    explicit Van(const VanSpec& spec);

    /// Lives for one interval. The lines the log gained: one, none in a gap, two where a line was written twice.
    /// The span is good until the next step.
    std::span<const Reading> step();

    [[nodiscard]] const Truth& truth() const { return truth_; }
    /// The description the owner would have written.
    [[nodiscard]] const System& system() const { return spec_.system; }
    [[nodiscard]] const VanSpec& spec() const { return spec_; }

private:
    void minute(Instant now);
    void run_chargers();
    [[nodiscard]] Ampere settle(Ampere load);
    Ampere small_step(Instant now);

    struct Connected {
        Charger charger;
        bool on = false;
        bool regulated = false;
        double gave = 0;  // A, summed over the steps of this minute in which it held or could have held its target
        int steps = 0;
    };

    VanSpec spec_;
    int parts_;  // small steps per interval
    Second part_;
    Weather weather_;
    Household household_;
    Itinerary itinerary_;
    Shunt shunt_;
    Bank bank_;
    std::vector<Connected> chargers_;
    std::vector<std::size_t> connected_;  // chargers that can give now, lowest target first
    DayPlan plan_;
    long day_ = -1;
    Instant full_at_{}, next_minute_{};
    double power_to_current_ = 1 / 12.8;
    double cell_temperature_ = 15;
    bool cut_off_ = false, shed_ = false, frost_ = false;
    Truth truth_;
    std::array<Reading, 2> lines_{};
};

}  // namespace amphora::twin
