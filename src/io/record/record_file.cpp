#include "io/record/record_file.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <random>

#include "io/record/block_table.hpp"
#include "io/record/schema.hpp"

namespace amphora::record {
namespace {

void require_file(const std::filesystem::path& file) {
    if (std::filesystem::is_directory(file))
        throw DatabaseFailure{
            {Fault::not_a_record, fmt::format("{}: is a folder; name the record in it", file.string())}};
    if (std::filesystem::exists(file)) return;
    throw DatabaseFailure{
        {Fault::not_found,
         fmt::format("{}: there is no such record; \"amphora import\" or the recorder makes one", file.string())}};
}

}  // namespace

WriterLock::WriterLock(const std::filesystem::path& tail) {
    const auto throw_failure = [&](Fault fault, const char* message) {
        throw DatabaseFailure{{fault, fmt::format("{}: {}", tail.string(), message)}};
    };
    for (;;) {
        descriptor_ = ::open(tail.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0644);
        if (descriptor_ < 0)
            throw_failure(Fault::refused, "cannot be written to; check that its folder exists and who owns it");
        if (::flock(descriptor_, LOCK_EX | LOCK_NB) != 0) {
            ::close(descriptor_);
            throw_failure(Fault::busy, "another recorder is writing to this record; stop that one first");
        }
        // A recorder that ended just now may have taken the file away after we opened it.
        struct stat ours{};
        struct stat there{};
        if (::fstat(descriptor_, &ours) == 0 && ::stat(tail.c_str(), &there) == 0 && ours.st_ino == there.st_ino)
            return;
        ::close(descriptor_);
    }
}

WriterLock::~WriterLock() { ::close(descriptor_); }

Database open_to_write(const std::filesystem::path& file, const std::string& vfs) {
    Database database(file, Access::create, vfs);
    database.execute("PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON");
    migrate(database);
    if (!note(database, "record_id")) {
        std::random_device random;
        set_note(database, "record_id",
                 static_cast<std::int64_t>(static_cast<std::uint64_t>(random()) << 32U | random()));
    }
    return database;
}

Database open_existing_to_write(const std::filesystem::path& file) {
    require_file(file);
    return open_to_write(file);
}

Database open_to_read(const std::filesystem::path& file, const std::string& vfs) {
    require_file(file);
    Database database(file, Access::read, vfs);
    require_current(database);
    return database;
}

std::uint64_t record_id(const Database& database) {
    return static_cast<std::uint64_t>(note(database, "record_id").value_or(0));
}

std::uint64_t sealed_count(const Database& database) {
    return static_cast<std::uint64_t>(note(database, "sealed_readings").value_or(0));
}
void set_sealed_count(Database& database, std::uint64_t count) {
    set_note(database, "sealed_readings", static_cast<std::int64_t>(count));
}

}  // namespace amphora::record
