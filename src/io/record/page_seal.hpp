// A checksum at the end of every page of a record's file, so that a bit that flips anywhere is noticed: also in the
// page directory, the indexes and the empty space. SQLite leaves the last bytes of each page to whoever asks for them;
// a thin layer below it fills them in when a page is written. Other programs read the file as before.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace amphora::record {

constexpr std::size_t page_size = 4096;  // SQLite's default
constexpr std::size_t seal_size = 4;     // CRC-32C of the page with its number (little-endian) in place of the checksum

/// The name of SQLite's file system `base` (empty: the usual one) with sealing on top. It is made when first asked for.
[[nodiscard]] std::string sealing(const std::string& base);

/// Pages of a file, counted from 1, whose checksum does not hold.
struct BrokenSeals {
    std::vector<std::uint64_t> pages;
    std::vector<std::uint64_t> superseded;  // nobody reads them: the write-ahead log has a newer version
};

/// None in a file that was made without checksums.
[[nodiscard]] BrokenSeals broken_seals(const std::filesystem::path& file);

}  // namespace amphora::record
