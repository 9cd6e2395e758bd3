// A description and the plan that it makes, as JSON.
#pragma once

#include <expected>
#include <filesystem>
#include <string>

#include "core/design/finding.hpp"
#include "core/design/plan.hpp"
#include "io/describe/describe.hpp"
#include "io/web/api/figure_json.hpp"

namespace amphora::web {

/// The plan of a system; a weather file that it names is looked for beside `file`. The error says what is wrong with
/// that.
[[nodiscard]] std::expected<design::Plan, std::string> plan_beside(const System& system,
                                                                   const std::filesystem::path& file);

[[nodiscard]] Json mistakes_json(const describe::Mistakes& mistakes);
[[nodiscard]] Json assumed_json(const std::vector<describe::Note>& notes);
[[nodiscard]] Json findings_json(const design::Findings& findings);

/// Findings and cautions of a system: empty lists when no design is described.
[[nodiscard]] Json judged_json(const System& system, const std::filesystem::path& file);

}  // namespace amphora::web
