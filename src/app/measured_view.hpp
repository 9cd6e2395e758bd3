// The plan beside the record: what was planned and what was measured, in words or as JSON.
#pragma once

#include <expected>
#include <nlohmann/json_fwd.hpp>
#include <string>

#include "app/record_place.hpp"
#include "core/design/measured.hpp"

namespace amphora::app {

/// Reads the whole record with the plan beside it; what is wrong is said on stderr.
[[nodiscard]] std::expected<design::Measured, Exit> measure(const design::Plan& plan, const RecordPlace& place);

[[nodiscard]] std::string measured_text(const design::Measured& measured);
[[nodiscard]] nlohmann::ordered_json measured_json(const design::Measured& measured);

}  // namespace amphora::app
