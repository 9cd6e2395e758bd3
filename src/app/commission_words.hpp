// A commissioning in words: for the terminal, and as the page of paper that is kept.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "core/commission/commissioning.hpp"
#include "io/record/local_days.hpp"

namespace amphora::app {

/// What was seen, in figures: "-5.05 A ± 0.02, expected -5.08 A".
[[nodiscard]] std::string seen_words(const commission::Finding& finding);

/// "passed", "differs", "not sure", "left out"
[[nodiscard]] std::string_view verdict_words(commission::Verdict verdict);

/// The record of a commissioning (Markdown).
[[nodiscard]] std::string commissioning_record(const commission::Commissioning& commissioning, const System& system,
                                               const record::LocalDays& days);

[[nodiscard]] nlohmann::ordered_json to_json(const commission::Commissioning& commissioning);

}  // namespace amphora::app
