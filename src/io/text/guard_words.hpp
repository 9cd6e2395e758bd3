// Rules, relays and what they did, in words.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/system/protection.hpp"

namespace amphora::text {

/// "unloaded voltage"
[[nodiscard]] std::string_view watched_words(Watched watched);

/// A value with its unit, as the rule counts it: "12.04 V", "23 %", "1.9 C".
[[nodiscard]] std::string level_words(Watched watched, Level value);

/// "trips when the unloaded voltage is below 12 V for 60 s; clears at 13.3 V, after 5 min"
[[nodiscard]] std::string rule_words(const described::Guard& guard);

/// "takes the relay loads off, tells phone, runs /usr/local/bin/horn"; `normally_on` of its relay.
[[nodiscard]] std::string action_words(const described::Guard& guard, bool normally_on);

/// "switches the loads by gpio gpiochip0 line 17; on while no guard holds it; off when blind for 30 s"
[[nodiscard]] std::string relay_words(const described::Relay& relay);

/// What a guard saw when it tripped or cleared.
struct GuardSaw {
    bool tripped = false;  // else it cleared
    Level value = Level::missing();
    Level worst = Level::missing();
    Level level = Level::missing();  // that was passed
};

/// For a notice that goes out at once: "low. The voltage is 11.50 V, at worst 11.42 V; it trips below 12.00 V."
[[nodiscard]] std::string notice_words(const described::Guard& guard, const GuardSaw& saw);

/// For one that comes late: "low tripped at 2026-03-01 02:10 and is told only now. The voltage was 11.50 V, ...".
/// `when` is empty where the time of day was not known.
[[nodiscard]] std::string late_notice_words(const described::Guard& guard, const GuardSaw& saw, std::string_view when);

/// What a guard or a relay did, as the record keeps it: "tripped: the voltage was 11.50 V", "ordered off". `guard` is
/// as described, null where there is none of that name any more or it is a relay's act.
[[nodiscard]] std::string act_words(std::string_view kind, const described::Guard* guard, Level value, Level worst,
                                    std::optional<bool> on);

}  // namespace amphora::text
