// What does this one appliance draw? Everything else off, the appliance off, on, and off again; the difference of the
// means, with a band that knows that readings a second apart are not independent.
//
// A pure state machine: readings and a person's "it is switched" go in, what to do next and for how long comes out.
#pragma once

#include <optional>
#include <vector>

#include "core/appliance/duty_cycle.hpp"
#include "core/meter/correlated_mean.hpp"
#include "core/quantity/reading.hpp"

namespace amphora {

enum class DrawStep : std::uint8_t { off_before, on, off_after, done };

struct DrawSettings {
    Ampere wanted{0.05};                // half the width of the 90 % band
    Ampere resolution{};                // the finest step of the meter; zero: not known
    Second settle{10.0};                // after each switching, not counted: inrush, supplies that charge up
    Second least{30.0};                 // counted in each step
    Second most{1800.0};                // and at most: the precision is then what it is
    Second most_cycling{4.0 * 3600.0};  // while on, for an appliance that switches itself
    bool cycles = false;                // it is known to switch itself: wait for it, even if it stands still at first
};

struct DrawResult {
    Uncertain<Ampere> draw{Ampere::missing(),
                           Ampere::missing()};                // positive: it takes. The sd is that of the 90 % band
    Uncertain<Watt> power{Watt::missing(), Watt::missing()};  // at the voltage while it was on
    Volt voltage = Volt::missing();
    bool below_resolution = false;  // not to be told from nothing with this meter: only `at_most` is known
    Ampere at_most = Ampere::missing();
    bool rest_changed = false;  // what flows without it was not the same before and after
    Ampere rest_before = Ampere::missing();
    Ampere rest_after = Ampere::missing();
    std::optional<DutyCycle> cycle;  // it switches itself; `draw` is then the mean over whole cycles
    bool too_few_cycles = false;     // fewer than two whole ones were seen
};

class DrawTest {
public:
    explicit DrawTest(const DrawSettings& settings = {}) : settings_(settings) {}

    /// A reading; without a current it is passed over. Not counted before the person says that all is switched.
    void push(const Reading& reading);

    /// The person has done what the step asks for: from now on it counts. The first call begins the first step; a
    /// further one ends the step before and begins the next. After the last step: ends the test.
    void switched(Instant at);

    [[nodiscard]] DrawStep step() const { return step_; }
    [[nodiscard]] bool counting() const { return begun_; }
    /// When the last step was switched to.
    [[nodiscard]] Instant begun() const { return switched_at_; }
    /// Readings that were counted in this step.
    [[nodiscard]] std::size_t counted() const { return step_ == DrawStep::done ? 0 : part().draw.size(); }
    /// This step has what it needs: precision, or all the time there is.
    [[nodiscard]] bool ready() const;
    /// How much longer this step takes by what was seen of it so far; missing() before there is a guess.
    [[nodiscard]] Second wait() const;
    /// While on: it switches itself, and so many whole cycles were seen.
    [[nodiscard]] std::optional<std::size_t> whole_cycles() const;

    /// What is known by now; the draw is missing() until there are readings with it on.
    [[nodiscard]] DrawResult result() const;

private:
    struct Part {
        std::vector<Ampere> draw;  // out of the battery is positive
        std::vector<Volt> voltage;
        Instant first{}, last{};
    };
    [[nodiscard]] const Part& part() const { return parts_[static_cast<std::size_t>(step_)]; }
    [[nodiscard]] static Second length(const Part& part) {
        return part.draw.empty() ? Second(0) : part.last - part.first;
    }
    [[nodiscard]] std::optional<DutyCycle> cycle() const;
    [[nodiscard]] Ampere wanted_error() const;

    DrawSettings settings_;
    DrawStep step_ = DrawStep::off_before;
    bool begun_ = false;
    Instant switched_at_{};
    Part parts_[3];
};

}  // namespace amphora
