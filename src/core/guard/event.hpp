// What the guards did, one at a time: for the relays, the notices, the log and the page.
#pragma once

#include <cstddef>

#include "core/quantity/boot_time.hpp"
#include "core/system/protection.hpp"

namespace amphora::guard {

enum class EventKind {
    tripped,          // a rule
    cleared,          // a rule
    notice_tripped,   // a rule's notices are due
    notice_cleared,   // the same, that it is over
    relay_ordered,    // a relay is to be switched, or told once more
    relay_blind,      // a relay goes to its safe state, because its rules see nothing
    relay_sees,       // and back
    relay_refuses,    // the read-back contradicts the order
    relay_confirmed,  // the read-back agrees with an order
};

struct Event {
    BootTime at{};
    EventKind kind = EventKind::tripped;
    std::size_t index = 0;  // of the rule, or of the relay
    bool on = false;        // relay: how it is to stand
    Level value = Level::missing();
    Level level = Level::missing();  // that was passed, or reached again
    Level worst = Level::missing();
    Second since{};  // rule: how long it had been tripped
};

class Listener {
public:
    virtual ~Listener() = default;
    virtual void on(const Event& event) = 0;
};

}  // namespace amphora::guard
