// The tables of a record, and the steps by which an older file becomes a newer one.
#pragma once

#include <string_view>
#include <vector>

#include "io/record/database.hpp"

namespace amphora::record {

/// "AMPH": tells `file` and SQLite tools whose database this is.
constexpr std::int32_t application_id = 0x414D5048;

/// Step n turns version n into version n + 1; version 0 is an empty file.
[[nodiscard]] const std::vector<std::string_view>& migrations();

/// Brings the file up to date, each step a transaction of its own. Throws when the file is not a record or is newer.
/// `up_to` stops early (for tests of the steps).
void migrate(Database& database, std::size_t up_to = static_cast<std::size_t>(-1));

/// Throws unless the file is a record of exactly this version.
void require_current(const Database& database);

}  // namespace amphora::record
