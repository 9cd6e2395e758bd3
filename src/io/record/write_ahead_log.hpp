// Whether SQLite's write-ahead log beside a record holds together, by the published format
// (sqlite.org/fileformat2.html, 4). SQLite itself passes silently over all that follows a broken frame.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>

namespace amphora::record {

struct LogVerdict {
    std::string damage;  // what is hurt, and what is no longer read by it; empty when nothing is
    std::string note;    // a commit that was broken off, as a power cut may do; empty otherwise
};

/// Checks the log of the record `file`; a record without one is whole. Never writes.
[[nodiscard]] LogVerdict check_write_ahead_log(const std::filesystem::path& file);

}  // namespace amphora::record
