// The readings of the last hours as they came, for tests that a person is led through: the record has the newest a
// minute later.
#pragma once

#include <deque>

#include "core/quantity/reading.hpp"

namespace amphora::web {

class Recent {
public:
    /// Takes the next reading; one that comes sooner than about a second after is passed over. When the clock was set
    /// back, what was before is of another time and is forgotten.
    void push(const Reading& reading);

    /// Oldest first; at most five hours.
    [[nodiscard]] const std::deque<Reading>& readings() const { return readings_; }

private:
    std::deque<Reading> readings_;
};

}  // namespace amphora::web
