// Live values as JSON and back: what goes over the recorder's socket (docs/reference/socket.md).
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/estimate/estimate.hpp"
#include "core/guard/situation.hpp"
#include "io/live/full_watch.hpp"
#include "io/live/live_source.hpp"
#include "io/live/recording.hpp"
#include "io/live/source_word.hpp"

namespace amphora::live {

using Json = nlohmann::ordered_json;

[[nodiscard]] Json to_json(const Estimate& estimate);
/// Missing members are missing() in the estimate.
[[nodiscard]] Estimate estimate_from(const Json& json);

[[nodiscard]] Json to_json(const std::optional<SinceFull>& full);
[[nodiscard]] std::optional<SinceFull> since_full_from(const Json& json);

/// A source and how it does. `utc` of its last reading, where that is known.
[[nodiscard]] Json to_json(const described::Source& source, const SourceHealth& health, std::optional<Instant> last);

/// A channel's newest figure: what, of what, whose, from where, value, unit, age, silent.
[[nodiscard]] Json to_json(const guard::Seen& seen);

[[nodiscard]] Json to_json(const RecordHealth& health);

/// The number of a member, or NaN.
[[nodiscard]] double number_in(const Json& object, const char* member);

}  // namespace amphora::live
