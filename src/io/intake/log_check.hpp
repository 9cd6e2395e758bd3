// Watches readings go by for what makes a whole log doubtful: figures in another unit, or a current the wrong way
// round.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "core/quantity/reading.hpp"
#include "core/system/system.hpp"
#include "io/intake/sign_check.hpp"

namespace amphora::intake {

class LogCheck {
public:
    /// `system` must outlive it.
    explicit LogCheck(const System& system) : system_(system) {}

    /// Takes the readings in the order of the log. Keeps the first few thousand.
    void push(const Reading& reading) {
        ++readings_;
        sign_.push(reading);
        if (first_.size() < kept) first_.push_back(reading);
    }

    /// What a person has to know before anything else, a sentence each; none for a log that is as it should be.
    /// `refused` is how many values were not used.
    [[nodiscard]] std::vector<std::string> warnings(std::uint64_t refused) const;

private:
    static constexpr std::size_t kept = 4096;

    const System& system_;
    SignCheck sign_;
    std::uint64_t readings_ = 0;
    std::vector<Reading> first_;
};

}  // namespace amphora::intake
