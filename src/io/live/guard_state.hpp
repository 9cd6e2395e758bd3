// What of the guards outlasts the program, as a line of text: which rules are tripped, what is owed to whom, and what
// the record does not have yet.
#pragma once

#include <filesystem>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "core/guard/guards.hpp"
#include "core/quantity/instant.hpp"
#include "io/record/guard_book.hpp"

namespace amphora::live {

/// By name, so that a description that was changed meanwhile does not give one rule the state of another.
struct KeptRule {
    std::string guard;
    guard::RuleMemory memory;
    std::optional<Instant> happened;  // when it tripped or cleared last
};

struct GuardState {
    std::vector<KeptRule> rules;
    std::vector<record::GuardAct> acts;                               // that may not be in the record
    nlohmann::ordered_json untold = nlohmann::ordered_json::array();  // as Teller has it
};

/// One line of JSON, without its end.
[[nodiscard]] std::string text_of(const GuardState& state);

/// The newest in a file of such lines that is whole, or what an earlier version of the program wrote; an empty state
/// where there is none.
[[nodiscard]] GuardState guard_state_in(const std::filesystem::path& file);

}  // namespace amphora::live
