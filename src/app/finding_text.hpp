// Findings as text and as JSON.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "core/design/finding.hpp"

namespace amphora::app {

/// What a severity is called: "danger", "warning", "note".
[[nodiscard]] const char* name(design::Severity severity);

/// A paragraph per finding: what, figures, why, what mends it. Ends with a line that counts them.
[[nodiscard]] std::string findings_text(const design::Findings& findings, bool colour);

[[nodiscard]] nlohmann::ordered_json findings_json(const design::Findings& findings);

}  // namespace amphora::app
