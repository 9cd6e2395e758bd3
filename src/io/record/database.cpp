#include "io/record/database.hpp"

#include <fmt/core.h>
#include <limits>

#include "io/record/page_seal.hpp"
#include "io/source/bad_line.hpp"

namespace amphora::record {
namespace {

Fault fault_of(int code) {
    switch (code & 0xFF) {
        case SQLITE_FULL:
            return Fault::full;
        case SQLITE_BUSY:
        case SQLITE_LOCKED:
            return Fault::busy;
        case SQLITE_CORRUPT:
            return Fault::damaged;
        case SQLITE_NOTADB:
            return Fault::not_a_record;
        case SQLITE_CANTOPEN:
            return Fault::not_found;
        case SQLITE_PERM:
        case SQLITE_READONLY:
        case SQLITE_AUTH:
            return Fault::refused;
        default:
            return Fault::input_output;
    }
}

const char* advice(Fault fault) {
    switch (fault) {
        case Fault::full:
            return "make room on the device";
        case Fault::busy:
            return "another program is writing to the record; try again when it is done";
        case Fault::damaged:
            return "\"amphora salvage\" saves what can be read into a new record";
        case Fault::not_a_record:
            return "this is not a record of amphora; check the path";
        case Fault::not_found:
            return "check the path and that its folder can be written to";
        case Fault::refused:
            return "check who owns the file and its folder";
        default:
            return "check the device, its cable and its file system";
    }
}

[[noreturn]] void fail(sqlite3* database, int code) {
    const char* name = database != nullptr ? sqlite3_db_filename(database, "main") : nullptr;
    const char* what = database != nullptr ? sqlite3_errmsg(database) : sqlite3_errstr(code);
    throw DatabaseFailure{error_of(code, what, name != nullptr ? name : "")};
}

}  // namespace

RecordError error_of(int code, const std::string& what, const std::filesystem::path& file) {
    const Fault fault = fault_of(code);
    // Of a damaged file SQLite quotes what it finds there.
    return {fault, fmt::format("{}: {}; {}", file.string(), source::printable(what), advice(fault))};
}

Statement::Statement(sqlite3* database, std::string_view sql) {
    sqlite3_stmt* statement = nullptr;
    const int code = sqlite3_prepare_v2(database, sql.data(), static_cast<int>(sql.size()), &statement, nullptr);
    if (code != SQLITE_OK) fail(database, code);
    handle_.reset(statement);
}

void Statement::check(int code) const {
    if (code != SQLITE_OK) fail(sqlite3_db_handle(handle_.get()), code);
}

bool Statement::step() {
    const int code = sqlite3_step(handle_.get());
    if (code == SQLITE_ROW) return true;
    if (code == SQLITE_DONE) return false;
    sqlite3* database = sqlite3_db_handle(handle_.get());
    fail(database, sqlite3_extended_errcode(database));
}

void Statement::run() {
    while (step()) {
    }
    reset();
}

double Statement::real(int column) const {
    return is_null(column) ? std::numeric_limits<double>::quiet_NaN() : sqlite3_column_double(handle_.get(), column);
}

std::string Statement::text(int column) const {
    const auto* bytes = sqlite3_column_text(handle_.get(), column);
    const auto size = static_cast<std::size_t>(sqlite3_column_bytes(handle_.get(), column));
    return bytes != nullptr ? std::string(reinterpret_cast<const char*>(bytes), size) : std::string();
}

std::span<const std::uint8_t> Statement::blob(int column) const {
    const auto* bytes = static_cast<const std::uint8_t*>(sqlite3_column_blob(handle_.get(), column));
    return {bytes, static_cast<std::size_t>(sqlite3_column_bytes(handle_.get(), column))};
}

Database::Database(const std::filesystem::path& file, Access access, const std::string& vfs) : file_(file) {
    const int flags = access == Access::read    ? SQLITE_OPEN_READONLY
                      : access == Access::write ? SQLITE_OPEN_READWRITE
                                                : SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE;
    sqlite3* database = nullptr;
    const int code = sqlite3_open_v2(file.c_str(), &database, flags | SQLITE_OPEN_NOMUTEX, sealing(vfs).c_str());
    handle_.reset(database);
    if (code != SQLITE_OK) throw DatabaseFailure{error_of(code, sqlite3_errmsg(database), file)};
    int reserved = seal_size;
    sqlite3_file_control(database, "main", SQLITE_FCNTL_RESERVE_BYTES, &reserved);
    sqlite3_extended_result_codes(database, 1);
    sqlite3_busy_timeout(database, 10'000);
}

void Database::execute(const std::string& sql) {
    const int code = sqlite3_exec(handle_.get(), sql.c_str(), nullptr, nullptr, nullptr);
    if (code != SQLITE_OK) fail(handle_.get(), sqlite3_extended_errcode(handle_.get()));
}

std::int64_t Database::number(std::string_view sql) const {
    Statement s = prepare(sql);
    return s.step() ? s.integer(0) : 0;
}

Transaction::~Transaction() {
    if (open_) sqlite3_exec(database_.handle(), "ROLLBACK", nullptr, nullptr, nullptr);
}

void Transaction::commit() {
    database_.execute("COMMIT");
    open_ = false;
}

}  // namespace amphora::record
