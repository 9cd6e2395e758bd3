// Sees to it that what is derived from a record is up to date before a command shows it.
#pragma once

#include "app/record_place.hpp"
#include "io/record/derive.hpp"

namespace amphora::app {

/// The description as what derived figures depend on.
[[nodiscard]] record::Origin origin_of(const RecordPlace& place);

/// Derives again when the description, the code or the readings changed. Says on stderr what is wrong.
[[nodiscard]] Exit bring_up_to_date(const RecordPlace& place);

}  // namespace amphora::app
