// Finds blocks in the pages of a damaged SQLite file without help from its tables and indexes, by the published file
// format (sqlite.org/fileformat2.html). Each block found has passed its checksum.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>

#include "core/ledger/block.hpp"

namespace amphora::record {

/// A block that was found, its times already shifted to where they belong.
using Found = std::function<void(std::int64_t id, const ledger::Columns& columns)>;

/// Looks at every page of the file; damaged ones are passed over. Safe on any bytes.
void carve_blocks(const std::filesystem::path& file, const Found& found);

}  // namespace amphora::record
