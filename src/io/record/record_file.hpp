// The record as a file: opening it to read or to write, and the few facts that it keeps about itself.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>

#include "io/record/database.hpp"

namespace amphora::record {

/// Held on the tail while readings are recorded live, so that there is only one recorder. Throws when another holds it.
class WriterLock {
public:
    explicit WriterLock(const std::filesystem::path& tail);
    WriterLock(const WriterLock&) = delete;
    WriterLock& operator=(const WriterLock&) = delete;
    ~WriterLock();

private:
    int descriptor_;
};

/// Opens the record for writing, making or migrating it if need be: WAL, every commit waits for the device.
[[nodiscard]] Database open_to_write(const std::filesystem::path& file, const std::string& vfs = {});

/// Opens an existing record for reading, or for changing what is in it.
[[nodiscard]] Database open_to_read(const std::filesystem::path& file, const std::string& vfs = {});
[[nodiscard]] Database open_existing_to_write(const std::filesystem::path& file);

/// A random number that ties the tail to its record.
[[nodiscard]] std::uint64_t record_id(const Database& database);

/// Readings that the recorder took and that are in blocks: where the tail goes on.
[[nodiscard]] std::uint64_t sealed_count(const Database& database);
void set_sealed_count(Database& database, std::uint64_t count);

}  // namespace amphora::record
