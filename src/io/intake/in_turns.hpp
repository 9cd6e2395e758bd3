// A log that is grouped by quantity (all currents, then all voltages) in short, so that its beginning shows them all.
#pragma once

#include <expected>
#include <memory>
#include <string>

#include "io/intake/mapping.hpp"
#include "io/source/byte_input.hpp"

namespace amphora::intake {

/// Reads the whole log and gives a short one: what stands above the numbers, then the first lines of each name in
/// `mapping.series`, taking turns; some megabytes at most. Fails where the log cannot be read, or has no such column.
[[nodiscard]] std::expected<std::string, std::string> in_turns(std::unique_ptr<source::ByteInput> input,
                                                               const Mapping& mapping);

/// Adds to the mapping of a series the quantities that it lacks and `whole`, the one proposed for the log in turns,
/// has. What is mapped already stays as it is.
void complete_series(Mapping& mapping, const Mapping& whole);

}  // namespace amphora::intake
