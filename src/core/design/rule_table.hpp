// Every rule of the design check by name: what it asks, where the limit lies, where that is from. The reference page is
// printed from it; a test compares it with the rules themselves.
#pragma once

#include <span>
#include <string_view>

namespace amphora::design {

struct RuleEntry {
    std::string_view rule;      // identifier, as in a finding
    std::string_view severity;  // what it can be
    std::string_view asks;
    std::string_view limit;
    std::string_view source;
};
[[nodiscard]] std::span<const RuleEntry> rule_table();

}  // namespace amphora::design
