// amphora history --guards: what the guards did, as the record keeps it.
#pragma once

#include "app/record_place.hpp"

namespace amphora::app {

/// Prints every act of the span, the oldest first.
[[nodiscard]] Exit print_guard_history(const RecordPlace& place, const record::Reader& reader, record::Span span,
                                       bool json);

}  // namespace amphora::app
