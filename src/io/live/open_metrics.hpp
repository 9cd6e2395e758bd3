// Live values as OpenMetrics text (OpenMetrics 1.0, docs/specs/om/open_metrics_spec.md of prometheus/docs), for whoever
// collects them with tools of their own.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <string_view>

namespace amphora::live {

inline constexpr std::string_view open_metrics_type = "application/openmetrics-text; version=1.0.0; charset=utf-8";

/// From the answer to {"ask": "now"}. What is not known is left out, as the format wants. Without an answer (null) it
/// only says that the recorder is down.
[[nodiscard]] std::string open_metrics(const nlohmann::ordered_json& now);

}  // namespace amphora::live
