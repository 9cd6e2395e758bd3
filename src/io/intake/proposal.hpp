// Looks at the beginning of a log and proposes how to read it.
#pragma once

#include <expected>
#include <string>
#include <string_view>
#include <vector>

#include "core/system/system.hpp"
#include "io/intake/mapping.hpp"

namespace amphora::intake {

struct Proposal {
    Mapping mapping;
    std::vector<std::string> doubts;  // what the person should look at
};

/// `beginning` is the first part of the log, at best some hundred lines; `zone` the one of times that do not say
/// theirs. A column of the shunt's drop is turned into amperes by the first meter of `system`.
[[nodiscard]] std::expected<Proposal, std::string> propose(std::string_view beginning, const System& system,
                                                           const std::string& zone);

}  // namespace amphora::intake
