// What is derived from the readings and kept beside them: the estimates of every minute, as they were lived and as
// hindsight sees them. Marked with the description and the code they came from; made again when either changes.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "core/system/system.hpp"
#include "io/record/local_days.hpp"
#include "io/record/reader.hpp"
#include "io/record/record_error.hpp"
#include "io/record/upkeep.hpp"

namespace amphora::record {

/// Raised when the estimator or the layout of what is derived changes.
constexpr std::int64_t derivation_code = 2;

/// What the derived figures depend on besides the readings.
struct Origin {
    System system;
    std::string fingerprint;  // of the description
};

/// The state of charge at one moment, as a share of the full-charge capacity, and its standard deviation.
struct Estimated {
    Instant at;
    Uncertain<Fraction> state_of_charge;
};

enum class View { lived, hindsight };

/// Makes the rollups and the estimates again, whatever is there. One that was broken off goes on where it was.
[[nodiscard]] Result<void> derive(const std::filesystem::path& file, const Origin& origin, const LocalDays& days,
                                  const Progress& progress);

/// True when what is derived came from this description, this code and all readings that are in blocks.
[[nodiscard]] Result<bool> is_derived(const std::filesystem::path& file, const Origin& origin);

/// Visits the estimates of the span that are known, in order of time.
[[nodiscard]] Result<void> visit_estimates(const std::filesystem::path& file, View view, Span span,
                                           const std::function<void(const Estimated&)>& visit);

/// The same, gathered.
[[nodiscard]] Result<std::vector<Estimated>> estimates(const std::filesystem::path& file, View view, Span span);

/// Forgets what is derived, after the readings changed. Use inside a transaction.
void forget_derived(Database& database);

}  // namespace amphora::record
