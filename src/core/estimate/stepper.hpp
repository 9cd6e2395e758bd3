// Readings to steps. Each reading's current is taken to hold over the interval that ends with it (as averaging meters
// mean it). What is odd about a reading is counted, and treated as its comment in stepper.cpp says.
#pragma once

#include <optional>

#include "core/estimate/estimate.hpp"
#include "core/estimate/step.hpp"
#include "core/quantity/reading.hpp"
#include "core/system/system.hpp"

namespace amphora {

class Stepper {
public:
    explicit Stepper(const Battery& battery);

    /// Takes one reading; a step when this reading closes one. At most one step per reading.
    std::optional<Step> push(const Reading& reading);

    /// What has been gathered since the last step closed.
    [[nodiscard]] const Step& open() const { return open_; }
    [[nodiscard]] Instant end() const { return last_at_; }
    [[nodiscard]] const Reading& latest() const { return latest_; }
    [[nodiscard]] const Oddities& oddities() const { return oddities_; }
    [[nodiscard]] bool started() const { return started_; }

private:
    bool place(const Reading& reading);
    void count(const Reading& reading, double seconds);
    void watch_full(double seconds);
    void watch_stuck(const Reading& reading);
    [[nodiscard]] double unknown_variance(double hours) const;
    Step close();

    FullEvidence full_;
    double capacity_ah_;
    double volt_limit_;
    double ampere_limit_;

    Reading latest_{};
    Instant last_at_{};
    bool started_ = false;
    double usual_s_ = 0.0;  // interval between readings as it usually is
    Step open_{};
    std::int64_t open_us_ = 0;
    double volt_seconds_ = 0.0, volt_time_ = 0.0, square_seconds_ = 0.0, known_time_ = 0.0;
    double voltage_held_s_ = 0.0, full_held_s_ = 0.0, tail_a_ = 0.0;
    double voltage_age_s_ = 0.0;                     // of the newest voltage
    bool looked_full_ = false;                       // at the reading before
    double typical_a_ = 0.0, typical_square_ = 0.0;  // slow mean of the current and its square, for gaps
    double unknown_h_ = 0.0;                         // length of the present stretch without a current
    int same_count_ = 0;
    int same_back_ = 0;
    Reading seen_{};
    Oddities oddities_{};
};

}  // namespace amphora
