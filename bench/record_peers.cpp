#include "bench/record_peers.hpp"

#include <fmt/core.h>
#include <zstd.h>

#include <fstream>
#include <vector>

#include "bench/stopwatch.hpp"
#include "core/ledger/bytes.hpp"
#include "io/record/database.hpp"

namespace amphora::bench {
namespace {

constexpr std::size_t hour = 3600;
constexpr const char* rows_table = "CREATE TABLE log (t INTEGER PRIMARY KEY, i INTEGER, u INTEGER, c INTEGER)";

/// Inserts the readings, `each` to a transaction.
void insert(sqlite3* database, std::span<const Values> log, std::size_t each) {
    record::Statement row(database, "INSERT INTO log VALUES (?1, ?2, ?3, ?4)");
    const auto run = [&](const char* sql) { sqlite3_exec(database, sql, nullptr, nullptr, nullptr); };
    for (std::size_t i = 0; i < log.size(); ++i) {
        if (i % each == 0) run("BEGIN");
        row.bind(i, log[i][0], log[i][1], log[i][2]).run();
        if (i % each == each - 1 || i + 1 == log.size()) run("COMMIT");
    }
}

/// A plain database, without what a record adds.
struct Plain {
    explicit Plain(const std::filesystem::path& file) { sqlite3_open(file.c_str(), &handle); }
    Plain(const Plain&) = delete;
    Plain& operator=(const Plain&) = delete;
    ~Plain() { sqlite3_close(handle); }
    void run(const char* sql) const { sqlite3_exec(handle, sql, nullptr, nullptr, nullptr); }
    sqlite3* handle = nullptr;
};

std::vector<char> hour_as_deltas(std::span<const Values> log, int level) {
    std::vector<char> packed;
    for (std::size_t q = 0; q < 3; ++q) {
        std::vector<unsigned char> planes(2 * log.size());
        for (std::size_t i = 0; i < log.size(); ++i) {
            const std::uint64_t d = ledger::zigzag(i == 0 ? log[0][q] : log[i][q] - log[i - 1][q]);
            planes[i] = static_cast<unsigned char>(d);
            planes[log.size() + i] = static_cast<unsigned char>(d >> 8U);
        }
        std::vector<char> out(ZSTD_compressBound(planes.size()));
        out.resize(ZSTD_compress(out.data(), out.size(), planes.data(), planes.size(), level));
        packed.insert(packed.end(), out.begin(), out.end());
    }
    return packed;
}

}  // namespace

Kept keep_as_rows(const std::filesystem::path& file, std::span<const Values> log) {
    std::filesystem::remove(file);
    const double seconds = seconds_of([&] {
        const Plain database(file);
        database.run(rows_table);
        insert(database.handle, log, 10'000);
    });
    return {std::filesystem::file_size(file), seconds};
}

Kept keep_as_deltas(const std::filesystem::path& file, std::span<const Values> log, int level) {
    const double seconds = seconds_of([&] {
        std::ofstream out(file, std::ios::binary);
        for (std::size_t i = 0; i < log.size(); i += hour) {
            const auto packed = hour_as_deltas(log.subspan(i, std::min(hour, log.size() - i)), level);
            out.write(packed.data(), static_cast<std::streamsize>(packed.size()));
        }
    });
    return {std::filesystem::file_size(file), seconds};
}

double chart_of_rows(const std::filesystem::path& file, std::int64_t from, std::int64_t to) {
    const Plain database(file);
    return seconds_of([&] {
        record::Statement bucket(database.handle,
                                 "SELECT min(i), avg(i), max(i), min(u), avg(u), max(u), min(c), avg(c), max(c) "
                                 "FROM log WHERE t >= ?1 AND t < ?2");
        for (std::int64_t b = 0; b < 1000; ++b) {
            bucket.bind(from + (to - from) * b / 1000, from + (to - from) * (b + 1) / 1000);
            while (bucket.step()) {
            }
        }
    });
}

double day_of_rows(const std::filesystem::path& file, std::int64_t from) {
    const Plain database(file);
    std::int64_t sum = 0;
    const double seconds = seconds_of([&] {
        record::Statement row(database.handle, "SELECT t, i, u, c FROM log WHERE t >= ?1 AND t < ?1 + 86400");
        row.bind(from);
        while (row.step()) sum += row.integer(0) + row.integer(1) + row.integer(2) + row.integer(3);
    });
    return sum != 0 ? seconds : 0.0;
}

void record_rows(const std::filesystem::path& file, std::span<const Values> log, std::size_t interval) {
    const Plain database(file);
    database.run("PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL");
    database.run(rows_table);
    insert(database.handle, log, interval);
}

}  // namespace amphora::bench
