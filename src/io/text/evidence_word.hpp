// The words for kinds of evidence, as they stand in files and between programs.
#pragma once

#include <string_view>

#include "core/estimate/estimate.hpp"

namespace amphora::text {

/// "none", "full", "empty", "rest_voltage" or "voltage_under_load".
[[nodiscard]] std::string_view evidence_word(Evidence kind);

/// The kind that a word stands for; none for a word that nobody knows.
[[nodiscard]] Evidence evidence_of(std::string_view word);

}  // namespace amphora::text
