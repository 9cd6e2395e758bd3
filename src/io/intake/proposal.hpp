// Looks at the beginning of a log and proposes how to read it.
#pragma once

#include <expected>
#include <string>
#include <string_view>
#include <vector>

#include "core/system/system.hpp"
#include "io/intake/mapping.hpp"
#include "io/intake/sign_check.hpp"

namespace amphora::intake {

struct Proposal {
    Mapping mapping;                   // the best guess; complete() or not
    std::vector<std::string> notes;    // what was decided, and on what grounds
    std::vector<std::string> doubts;   // what a person has to look at: nothing is taken in past these without one
    std::vector<std::string> columns;  // of the log, all of them
    SignVerdict sign = SignVerdict::unclear;  // of the log as it was written
    bool order_open = false;                  // day and month may be the other way round; more of the log may tell
    bool series_open = false;                 // grouped by quantity; others may follow further on: see in_turns()

    /// True if readings can be taken by it without anybody looking.
    [[nodiscard]] bool sure() const { return mapping.complete() && doubts.empty(); }
};

/// `beginning` is the first part of the log, at best some megabytes; `system` the one described, or nothing, whose
/// voltage and capacity tell the units and whose first meter turns a shunt's drop into amperes; `zone` the one of times
/// that do not say theirs. Fails when the text is no table at all.
[[nodiscard]] std::expected<Proposal, std::string> propose(std::string_view beginning, const System* system,
                                                           const std::string& zone);

}  // namespace amphora::intake
