// What fills the battery: solar controller, shore charger, alternator; each constant current, then constant voltage.
#pragma once

#include "core/quantity/quantity.hpp"

namespace amphora::twin {

enum class Source { sun, shore, engine };

struct ChargerSpec {
    Source source = Source::sun;
    Ampere limit{30};
    Watt panels{0};           // sun only: rated power
    double yield = 0.8;       // sun only: share of rated power at 1000 W/m2 that reaches the battery
    Volt absorption{14.4};    // at the charger, 25 C
    Volt floating{13.5};      // held after absorption; missing: charger stops until `restart` is passed
    Volt restart{13.0};       // back to bulk when the battery has been below for five minutes
    Second absorb_for{7200};  // longest absorption
    Ampere tail{0};           // absorption ends early when the charger gives less than this; 0: never
    Volt per_kelvin{0};       // temperature compensation, from 25 C
    Ohm cable{0.002};         // between charger and battery
};

class Charger {
public:
    explicit Charger(const ChargerSpec& spec) : spec_(spec) {}

    /// Begins a new charge: the sun rose, the cable was plugged in, the engine started.
    void begin() { stage_ = Stage::bulk, absorbed_ = low_ = quiet_ = Second(0); }

    /// Once a minute: what it could give now, and the stage by what happened in the minute before.
    void minute(Ampere can_give, Volt battery, Ampere gave, bool regulating, Celsius temperature);

    [[nodiscard]] Ampere available() const { return stage_ == Stage::stopped ? Ampere(0) : available_; }
    [[nodiscard]] Volt target() const { return target_; }
    [[nodiscard]] const ChargerSpec& spec() const { return spec_; }

private:
    enum class Stage { bulk, absorption, floating, stopped };
    ChargerSpec spec_;
    Stage stage_ = Stage::bulk;
    Ampere available_{0};
    Volt target_{14.4};
    Second absorbed_{0}, low_{0}, quiet_{0};
};

}  // namespace amphora::twin
