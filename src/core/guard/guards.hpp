// All rules and relays of a system, watched together. Pure: time comes with what is seen, orders and notices go out as
// events, and the same situations give the same events, live or replayed. Nothing is allocated per look.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/guard/event.hpp"
#include "core/guard/relay_keeper.hpp"
#include "core/guard/rule.hpp"
#include "core/guard/situation.hpp"
#include "core/system/protection.hpp"

namespace amphora::guard {

/// Between two looks a value is taken to hold for this long at most: a computer that slept has seen nothing.
constexpr Second longest_hold{5.0};

/// Of notices that quiet hours hold back.
enum class Owed : std::uint8_t { nothing, trip, trip_and_clear };

/// What of a rule outlasts the program.
struct RuleMemory {
    bool tripped = false;
    Level worst = Level::missing();
    Owed owed = Owed::nothing;
};

class Guards {
public:
    /// `protection` must be sound, as io/describe makes it: names that are used exist, levels have their sides.
    explicit Guards(Protection protection);

    /// One look. Events that fall between the last look and this one carry their own time.
    void look(const Situation& situation, Listener& listener);

    /// A relay's read-back; nothing where there is none.
    void confirm(std::size_t relay, std::optional<bool> on) { relays_[relay].keeper.confirm(on); }

    /// Seconds that local time is ahead of UTC, for quiet hours.
    void set_zone_offset(Second ahead) { ahead_ = ahead; }

    /// Clears a rule by hand, and tells so.
    void clear(std::size_t rule, Listener& listener);

    [[nodiscard]] RuleMemory memory(std::size_t rule) const;
    /// Takes over what was remembered when the program stopped. Before the first look.
    void restore(std::size_t rule, const RuleMemory& memory);

    [[nodiscard]] const Protection& protection() const { return protection_; }
    [[nodiscard]] const Rule& rule(std::size_t i) const { return rules_[i].rule; }
    [[nodiscard]] std::optional<BootTime> tripped_at(std::size_t i) const;
    [[nodiscard]] const RelayKeeper& relay(std::size_t i) const { return relays_[i].keeper; }

private:
    struct Watch {
        Rule rule;
        std::optional<std::size_t> relay;
        BootTime tripped_at{};
        Owed owed = Owed::nothing;
    };
    struct Switch {
        RelayKeeper keeper;
        bool was_safe = false;
        bool refused = false;
        std::optional<bool> agreed;
    };

    void watch(std::size_t i, const Situation& situation, Second passed, Listener& listener);
    void tell(std::size_t i, const Change& change, BootTime at, Listener& listener);
    void notify(std::size_t i, bool tripped, Listener& listener, BootTime at);
    void pay(std::size_t i, Listener& listener);
    void keep(std::size_t i, BootTime now, Listener& listener);
    [[nodiscard]] Claim claim_on(std::size_t relay) const;
    [[nodiscard]] bool quiet(const described::Guard& settings) const;
    [[nodiscard]] Event event(std::size_t rule, EventKind kind, BootTime at) const;

    Protection protection_;
    std::vector<Watch> rules_;
    std::vector<Switch> relays_;
    std::optional<BootTime> last_;
    std::optional<Instant> utc_;
    Second ahead_{};
};

}  // namespace amphora::guard
