// What guards did, kept for tests; and situations to show them.
#pragma once

#include <vector>

#include "core/guard/guards.hpp"

namespace amphora::guard {

class Kept : public Listener {
public:
    void on(const Event& event) override { events.push_back(event); }

    [[nodiscard]] std::vector<Event> of(EventKind kind) const {
        std::vector<Event> some;
        for (const Event& event : events)
            if (event.kind == kind) some.push_back(event);
        return some;
    }
    [[nodiscard]] std::size_t count(EventKind kind) const { return of(kind).size(); }

    std::vector<Event> events;
};

inline Situation situation(double seconds, double volts, double amperes = 0.0, double celsius = 20.0) {
    Situation s;
    s.now = BootTime{} + Second(seconds);
    s.voltage = Volt(volts);
    s.current = Ampere(amperes);
    s.temperature = Celsius(celsius);
    s.age = Second(0.0);
    return s;
}

}  // namespace amphora::guard
