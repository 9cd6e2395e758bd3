// What was planned against what was measured: the record of one shunt, read with the plan beside it. Month by month the
// charge is simply counted; appliance by appliance and charger by charger it is told from the steps that switching them
// makes, so that those are estimates.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "core/design/plan.hpp"
#include "core/design/switching.hpp"

namespace amphora::design {

/// One appliance or charger on a mean day of the time that was covered.
struct Comparison {
    std::string name;
    WattHour planned;        // a day
    WattHour measured;       // a day; missing where steps cannot tell it
    double times_a_day = 0;  // switched on
    Watt power = Watt::missing();
    std::string drawn{};  // where the plan goes by a draw test: what that measured and what is described
};

/// One month of the year, all years of the record together; a mean day, at the shunt.
struct MeasuredMonth {
    Hour covered{};
    WattHour planned_in{}, planned_out{};
    WattHour in{}, out{};
};

struct Measured {
    Hour covered{};
    std::array<MeasuredMonth, 12> months{};
    std::vector<Comparison> appliances;
    std::vector<Comparison> chargers;
    WattHour told_apart{};  // a day: of what was drawn, what an appliance is known for
    WattHour drawn{};       // a day: all that was drawn, also while charging
};

/// Reads a record once, in order of time. About 20 ns a reading.
class Witness {
public:
    explicit Witness(const Plan& plan);

    /// `month` 0..11 and `hour` 0..24 are local.
    void push(const Reading& reading, int month, double hour);

    [[nodiscard]] Measured result() const;

private:
    struct Thing {  // an appliance, or a charger that switches
        double watts = 0.0;
        bool charges = false;
        std::size_t index = 0;
        int on = 0;
        int most = 1;
        double amperes = 0.0;  // of the step that switched it on
        Instant since{};
        double energy = 0.0;  // Wh
        double hours = 0.0;
        int times = 0;
        double longest = 12.0;  // h: a switching off that was missed
    };

    void take(const Switching& s, double volt, int month, double hour);
    static void switch_on(Thing& t, double amperes, Instant at);
    static void switch_off(Thing& t);
    void count(const Reading& r, double hours, int month, double hour);
    void watch_the_night(Instant at, double hour);
    [[nodiscard]] double planned_hours(const Thing& t, int month, double hour) const;
    [[nodiscard]] bool is_daylight(int month, double hour) const;

    Plan plan_;
    std::vector<Thing> things_;
    SwitchFinder steps_;
    Reading last_;
    bool started_ = false;
    // always on
    Instant looked_{};
    std::vector<double> tonight_;  // A
    std::vector<double> nights_;
    double base_ = 0.0;  // A
    double base_energy_ = 0.0;
    // sums
    std::array<double, 12> hours_{}, in_{}, out_{};
    std::vector<double> charged_;  // Wh by charger
    double told_ = 0.0;
    double drawn_ = 0.0;
};

}  // namespace amphora::design
