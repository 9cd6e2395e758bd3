// A commissioning as the page of paper that is kept, and as JSON.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "core/commission/commissioning.hpp"
#include "io/record/local_days.hpp"

namespace amphora::app {

/// The record of a commissioning (Markdown).
[[nodiscard]] std::string commissioning_record(const commission::Commissioning& commissioning, const System& system,
                                               const record::LocalDays& days);

[[nodiscard]] nlohmann::ordered_json to_json(const commission::Commissioning& commissioning);

}  // namespace amphora::app
