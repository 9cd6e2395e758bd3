// Is the meter put in right? A person is led through a few tests; each says what to do, what is expected, what was
// seen, and what it means if the two differ.
//
// A pure state machine for whoever leads the person: the terminal, the page, a test with a log. Readings and the
// person's answers go in.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "core/quantity/reading.hpp"
#include "core/system/system.hpp"

namespace amphora::commission {

enum class Step : std::uint8_t { direction, bypass, zero, gain, full_evidence };
constexpr std::size_t step_count = 5;

enum class Ask : std::uint8_t { nothing, watts, amperes, yes_or_no };

/// One thing to do, and what is asked and measured after it.
struct Act {
    std::string_view todo;
    Ask ask = Ask::nothing;
    std::string_view question{};
    Second measure{};  // zero: nothing
};

enum class Verdict : std::uint8_t { passed, differs, unsure, skipped };

/// Why a step ended as it did; words_of() says it to a person.
enum class Meaning : std::uint8_t {
    right_way_round,
    reversed,
    load_not_seen,
    load_other_size,
    load_too_small,
    all_through_shunt,
    something_bypasses,
    something_left_on,
    zero_small,
    zero_large,
    zero_too_noisy,
    gain_agrees,
    gain_differs,
    gain_reference_too_small,
    full_reachable,
    full_never_reached,
    full_no_charger,
    no_readings,
    left_out
};

struct Finding {
    Step step = Step::direction;
    Verdict verdict = Verdict::skipped;
    Meaning meaning = Meaning::left_out;
    Uncertain<Ampere> seen{Ampere::missing(), Ampere::missing()};
    Ampere expected = Ampere::missing();
    double ratio = 0.0;  // gain: this meter over the other
    double ratio_sd = 0.0;
    Volt voltage = Volt::missing();         // full evidence: of the highest charger
    Volt wanted_voltage = Volt::missing();  // and what the description wants
    Instant at{};
};

[[nodiscard]] std::string_view title_of(Step step);
[[nodiscard]] std::string_view expectation_of(Step step);
[[nodiscard]] std::string_view words_of(Meaning meaning);
[[nodiscard]] const std::vector<Act>& acts_of(Step step);

/// Sizes that a commissioning judges by; from the meter's data sheet where the description has it.
struct Limits {
    Ampere zero{};                  // offset that is no worry
    double gain = 0.02;             // share by which two meters may differ, besides the reference's own error
    double reference_error = 0.02;  // of a clamp meter or a second shunt, one standard deviation
};
[[nodiscard]] Limits limits_for(const System& system);

class Commissioning {
public:
    explicit Commissioning(const System& system);

    /// The step, or nothing when all are done.
    [[nodiscard]] std::optional<Step> step() const;
    [[nodiscard]] const Act& act() const;

    /// The person did what the act asks for, and answered; from now on it is measured. `answer` is in the question's
    /// unit, 1 for yes and 0 for no.
    void begin(Instant at, double answer = 0.0);
    /// While an act is measured. Readings from other times are passed over.
    void push(const Reading& reading);
    /// The act has what it needs (at once where nothing is measured).
    [[nodiscard]] bool ready() const;
    /// How long it is still measured.
    [[nodiscard]] Second wait() const;
    /// Goes on to the next act or step. Call when ready, or earlier: what was measured must do then.
    void next();
    /// Leaves the step out.
    void skip();

    [[nodiscard]] const std::vector<Finding>& findings() const { return findings_; }
    /// Every step that was not left out is passed.
    [[nodiscard]] bool sound() const;

private:
    struct Seen {
        std::vector<Ampere> currents;
        std::vector<Volt> voltages;
        double answer = 0.0;
        Instant begun{};
        Instant last{};
    };
    [[nodiscard]] Finding judge() const;
    [[nodiscard]] Finding judge_direction() const;
    [[nodiscard]] Finding judge_bypass() const;
    [[nodiscard]] Finding judge_zero() const;
    [[nodiscard]] Finding judge_gain() const;
    [[nodiscard]] Finding judge_full() const;

    const System& system_;
    Limits limits_;
    std::size_t step_ = 0;
    std::size_t act_ = 0;
    bool measuring_ = false;
    std::vector<Seen> seen_;  // by act of this step
    std::vector<Finding> findings_;
};

}  // namespace amphora::commission
