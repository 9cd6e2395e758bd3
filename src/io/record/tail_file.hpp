// The newest readings, not yet a block: a small file beside the record, written one page at a time.
//
// A commit rewrites one page of 4 KiB in a file whose space is already taken, so that nothing but that page has to
// reach the device. Each page is written in turn to two places, so that a write torn by a power cut never hurts what
// was safe before. A page carries its own checksum and says which readings it holds; what is already in a block is
// skipped.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "core/quantity/reading.hpp"
#include "io/record/database.hpp"

struct sqlite3_file;

namespace amphora::record {

/// The readings of one page.
struct TailPage {
    std::uint64_t page = 0;        // counts up for ever
    std::uint32_t generation = 0;  // counts up each time this page is written
    std::uint64_t first = 0;       // how many readings the recorder had taken before the first one here
    std::int64_t boot = 0;         // row in the table boot
    std::vector<Reading> readings;
};

constexpr std::size_t tail_page_size = 4096;
constexpr std::size_t tail_pages = 64;  // pages that fit before they must have become a block

/// The page as bytes; empty when the readings do not fit.
[[nodiscard]] std::vector<std::uint8_t> encode_tail_page(const TailPage& page, std::uint64_t record_id);

class TailFile {
public:
    /// Opens the file for writing, making it if need be. Through SQLite's file system, like the record itself.
    TailFile(const std::filesystem::path& file, std::uint64_t record_id, const std::string& vfs);

    /// Writes the page and waits until it is on the device. False when the readings do not fit in a page.
    [[nodiscard]] bool write(const TailPage& page);

private:
    void check(int code, const char* what) const;

    std::filesystem::path file_;
    std::string name_;
    std::uint64_t record_id_;
    struct Close {
        void operator()(sqlite3_file* f) const;
    };
    std::unique_ptr<sqlite3_file, Close> handle_;
};

/// Where the tail of a record lies.
[[nodiscard]] std::filesystem::path tail_path(const std::filesystem::path& record);

/// The sound pages of a record's tail from reading number `from` on, in order. Where a page is damaged the next one
/// begins later than the one before it ends. Empty when there is no file.
[[nodiscard]] std::vector<TailPage> read_tail(const std::filesystem::path& file, std::uint64_t record_id,
                                              std::uint64_t from);

/// The places in the file (counted from 0, a page of 4 KiB each) that a single flipped bit has spoiled. A write that a
/// power cut tore is none: its readings were not safe yet.
[[nodiscard]] std::vector<std::size_t> flipped_tail_pages(const std::filesystem::path& file);

/// The highest number that a page in the file has, whatever became of its readings; 0 when there is none.
[[nodiscard]] std::uint64_t highest_tail_page(const std::filesystem::path& file, std::uint64_t record_id);

}  // namespace amphora::record
