// One and the same state of a record for everything that is read from it: the blocks and the tail that belongs to them.
#pragma once

#include <vector>

#include "io/record/database.hpp"
#include "io/record/tail_file.hpp"

namespace amphora::record {

/// Begins (or renews) a read transaction, and returns the pages of the tail that go on where its blocks end.
[[nodiscard]] std::vector<TailPage> begin_snapshot(Database& database);

}  // namespace amphora::record
