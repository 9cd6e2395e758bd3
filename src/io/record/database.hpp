// SQLite with its handles closed by themselves and its errors thrown; record's public classes catch them (see
// `guarded`).
#pragma once

#include <sqlite3.h>

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>

#include "io/record/record_error.hpp"

namespace amphora::record {

/// Thrown inside this folder only.
struct DatabaseFailure {
    RecordError error;
};

/// A prepared statement. Bind with `bind(1, 2, ...)`, then `step()` until false.
class Statement {
public:
    Statement(sqlite3* database, std::string_view sql);

    template <class... Values>
    Statement& bind(const Values&... values) {
        reset();
        int i = 0;
        (bind_one(++i, values), ...);
        return *this;
    }
    /// True while there is a row.
    bool step();
    /// Runs to the end, for statements without rows.
    void run();
    void reset() { sqlite3_reset(handle_.get()); }

    [[nodiscard]] std::int64_t integer(int column) const { return sqlite3_column_int64(handle_.get(), column); }
    [[nodiscard]] bool is_null(int column) const { return sqlite3_column_type(handle_.get(), column) == SQLITE_NULL; }
    /// NaN where there is none.
    [[nodiscard]] double real(int column) const;
    [[nodiscard]] std::string text(int column) const;
    /// Valid until the next step.
    [[nodiscard]] std::span<const std::uint8_t> blob(int column) const;

private:
    void bind_one(int i, std::int64_t v) { check(sqlite3_bind_int64(handle_.get(), i, v)); }
    void bind_one(int i, int v) { bind_one(i, std::int64_t{v}); }
    void bind_one(int i, std::uint32_t v) { bind_one(i, std::int64_t{v}); }
    void bind_one(int i, bool v) { bind_one(i, std::int64_t{v ? 1 : 0}); }
    void bind_one(int i, std::size_t v) { bind_one(i, static_cast<std::int64_t>(v)); }
    void bind_one(int i, double v) { check(sqlite3_bind_double(handle_.get(), i, v)); }  // NaN becomes NULL
    void bind_one(int i, std::string_view v) {
        check(sqlite3_bind_text64(handle_.get(), i, v.data(), v.size(), SQLITE_TRANSIENT, SQLITE_UTF8));
    }
    void bind_one(int i, std::span<const std::uint8_t> v) {
        check(sqlite3_bind_blob64(handle_.get(), i, v.data(), v.size(), SQLITE_TRANSIENT));
    }
    void check(int code) const;

    struct Finalize {
        void operator()(sqlite3_stmt* s) const { sqlite3_finalize(s); }
    };
    std::unique_ptr<sqlite3_stmt, Finalize> handle_;
};

enum class Access { read, write, create };

class Database {
public:
    /// `vfs` names a SQLite virtual file system; empty for the usual one.
    Database(const std::filesystem::path& file, Access access, const std::string& vfs = {});

    void execute(const std::string& sql);
    [[nodiscard]] Statement prepare(std::string_view sql) const { return {handle_.get(), sql}; }
    [[nodiscard]] std::int64_t number(std::string_view sql) const;
    [[nodiscard]] std::int64_t last_row() const { return sqlite3_last_insert_rowid(handle_.get()); }
    [[nodiscard]] sqlite3* handle() const { return handle_.get(); }
    [[nodiscard]] const std::filesystem::path& file() const { return file_; }

private:
    struct Close {
        void operator()(sqlite3* d) const { sqlite3_close_v2(d); }
    };
    std::filesystem::path file_;
    std::unique_ptr<sqlite3, Close> handle_;
};

/// A transaction that is undone unless committed.
class Transaction {
public:
    explicit Transaction(Database& database, const char* begin = "BEGIN IMMEDIATE") : database_(database) {
        database_.execute(begin);
    }
    Transaction(const Transaction&) = delete;
    Transaction& operator=(const Transaction&) = delete;
    ~Transaction();
    void commit();

private:
    Database& database_;
    bool open_ = true;
};

/// The error of a SQLite result code, as a person should read it.
[[nodiscard]] RecordError error_of(int code, const std::string& what, const std::filesystem::path& file);

/// Runs `work` and turns what it throws into an error.
template <class Work>
auto guarded(Work work) -> Result<decltype(work())> {
    try {
        if constexpr (std::is_void_v<decltype(work())>) {
            work();
            return {};
        } else {
            return work();
        }
    } catch (const DatabaseFailure& failure) {
        return std::unexpected(failure.error);
    }
}

}  // namespace amphora::record
