// Which way of writing times a log has.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "io/intake/mapping.hpp"

namespace amphora::intake {

struct TimeGuess {
    std::string format{};   // as in Mapping; empty when none that is known fits
    std::string turned{};   // the other one, where day and month may as well be the other way round
    bool relative = false;  // the times count from the start of the log, and do not say when that was
};

/// The format that nine in ten of the texts fit. Day before month where both ways fit, and the other in `turned`.
[[nodiscard]] TimeGuess guess_time(const std::vector<std::string>& texts, const std::string& zone);

enum class DateOrder { as_mapped, turned, open };

/// Which of the two formats makes of the whole text a log as logs are: one that can be read to the end and whose time
/// goes forward by small steps.
[[nodiscard]] DateOrder date_order(std::string_view text, const Mapping& mapping, const std::string& turned);

}  // namespace amphora::intake
