// Guards run over readings that were taken before: what would have tripped when, for how long, and why. The same rules
// and the same pipeline as live; the situations are made as live operation makes them, a look after every reading and
// one each second between.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "core/guard/guards.hpp"
#include "core/pipeline/pipeline.hpp"

namespace amphora {

/// One time that a rule was tripped, and what was seen when it did.
struct Trip {
    std::size_t rule = 0;
    Instant at{};
    Instant until{};     // when it cleared, or the end of the readings
    bool lasts = false;  // it had not cleared at the end
    Level worst{};       // the furthest beyond the level, before the trip and while it lasted
    Reading seen{};
    Uncertain<Fraction> state_of_charge{Fraction::missing(), Fraction::missing()};
};

/// Why a relay was ordered otherwise.
enum class SwitchReason : std::uint8_t {
    start,    // the first order
    tripped,  // a rule holds it
    cleared,  // no rule holds it any more
    blind,    // to its safe state: a rule saw nothing
    sees,     // and back
};

/// One change of a relay's order. The first is that of the start.
struct Switching {
    std::size_t relay = 0;
    Instant at{};
    bool on = false;
    SwitchReason why = SwitchReason::start;
    std::optional<std::size_t> rule{};  // that tripped, or saw nothing
};

/// How near a rule came to its level.
struct Nearest {
    Level value = Level::missing();  // missing(): never saw what it watches
    Instant at{};
};

class GuardReplay : private guard::Listener {
public:
    explicit GuardReplay(const System& system);

    /// Readings in order of time; one that is not after the one before is passed over.
    void push(const Reading& reading);

    /// After the last reading. What is still tripped lasts until then.
    void finish();

    /// Seconds that local time is ahead of UTC, for quiet hours.
    void set_zone_offset(Second ahead) { guards_.set_zone_offset(ahead); }

    [[nodiscard]] const std::vector<Trip>& trips() const { return trips_; }
    [[nodiscard]] const std::vector<Switching>& switchings() const { return switchings_; }
    [[nodiscard]] const std::vector<Nearest>& nearest() const { return nearest_; }
    [[nodiscard]] Instant first() const { return first_; }
    [[nodiscard]] Instant last() const { return last_; }

private:
    /// A figure as it was known last.
    template <class Q>
    struct Known {
        Q value = Q::missing();
        Instant at{};
        void take(Q newer, Instant when) {
            if (newer.known()) *this = {newer, when};
        }
        [[nodiscard]] Q now(Instant when, Second patience) const {
            return when - at <= patience ? value : Q::missing();
        }
    };

    void on(const guard::Event& event) override;
    void open_trip(const guard::Event& event);
    void look(Instant at);
    void pass_gap(Instant until);
    void note_interval(Second interval);
    [[nodiscard]] Second usual() const;
    [[nodiscard]] Second patience() const;
    [[nodiscard]] Switching switching(const guard::Event& event) const;

    Pipeline pipeline_;
    guard::Guards guards_;
    Second described_patience_ = Second::missing();
    Second longest_wait_;                // after so long without a reading nothing more can happen
    std::array<Second, 9> intervals_{};  // the newest, between readings
    std::size_t interval_count_ = 0;
    Known<Ampere> current_;
    Known<Volt> voltage_;
    Known<Celsius> temperature_;
    Estimate estimate_;
    Instant first_{};
    Instant last_{};
    bool started_ = false;
    std::vector<Trip> trips_;
    std::vector<std::size_t> open_;  // by rule: one more than the index of its trip that lasts; 0: none
    std::vector<Switching> switchings_;
    std::vector<Nearest> nearest_;
};

}  // namespace amphora
