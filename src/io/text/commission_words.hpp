// A commissioning in words.
#pragma once

#include <string>
#include <string_view>

#include "core/commission/commissioning.hpp"

namespace amphora::text {

/// "passed", "differs", "not sure", "left out".
[[nodiscard]] std::string_view verdict_words(commission::Verdict verdict);

/// What a step saw, in figures rounded to what is known; "-" for nothing.
[[nodiscard]] std::string seen_words(const commission::Finding& finding);

}  // namespace amphora::text
