// A folder of its own for each test, and a made-up log.
#pragma once

#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <random>
#include <stdexcept>
#include <vector>

#include "io/record/reader.hpp"
#include "io/record/writer.hpp"

#include <unistd.h>

namespace amphora::record {

constexpr std::int64_t new_year_us = 1'704'067'200'000'000;  // 2024-01-01T00:00:00Z
constexpr std::int64_t second_us = 1'000'000;

/// One reading a second from a plain meter: 10 mA, 10 mV, 0.1 degree.
inline std::vector<Reading> steady_log(std::size_t count, std::int64_t from_us = new_year_us, unsigned seed = 1) {
    std::mt19937 random(seed);
    std::vector<Reading> log;
    log.reserve(count);
    for (std::size_t i = 0; i < count; ++i) {
        const double load = i / 900 % 3 == 0 ? -380.0 : 120.0;
        log.push_back({Instant{from_us + static_cast<std::int64_t>(i) * second_us},
                       Ampere((load + static_cast<double>(random() % 5)) / 100.0),
                       Volt((1320.0 + static_cast<double>(random() % 3)) / 100.0),
                       Celsius((180.0 + static_cast<double>(random() % 3)) / 10.0)});
    }
    return log;
}

inline bool same(const Reading& a, const Reading& b) {
    const auto equal = [](double x, double y) { return std::isnan(x) ? std::isnan(y) : x == y; };
    return a.at == b.at && equal(a.current.value(), b.current.value()) && equal(a.voltage.value(), b.voltage.value()) &&
           equal(a.temperature.value(), b.temperature.value());
}

inline ::testing::AssertionResult same_log(const std::vector<Reading>& got, const std::vector<Reading>& expected) {
    if (got.size() != expected.size())
        return ::testing::AssertionFailure() << got.size() << " readings instead of " << expected.size();
    for (std::size_t i = 0; i < got.size(); ++i)
        if (!same(got[i], expected[i])) return ::testing::AssertionFailure() << "reading " << i << " differs";
    return ::testing::AssertionSuccess();
}

/// The value, or a failed test that says why there is none.
template <class T>
T must(Result<T> result) {
    if (!result) throw std::runtime_error(result.error().message);
    if constexpr (!std::is_void_v<T>) return std::move(*result);
}

class RecordTest : public ::testing::Test {
protected:
    RecordTest() {
        // In memory where there is such a place: these tests are about what is written, not about the device.
        const std::filesystem::path memory = "/dev/shm";
        folder_ = (std::filesystem::is_directory(memory) ? memory : std::filesystem::temp_directory_path()) /
                  ("amphora-record-" + std::to_string(::getpid()) + "-" +
                   ::testing::UnitTest::GetInstance()->current_test_info()->name());
        std::filesystem::remove_all(folder_);
        std::filesystem::create_directories(folder_);
        file_ = folder_ / "van.amphora";
    }
    ~RecordTest() override { std::filesystem::remove_all(folder_); }

    Writer writer(WriterOptions options = {}) { return must(Writer::open(file_, std::move(options))); }
    void record(const std::vector<Reading>& log) {
        Writer w = writer({Second(900), LocalDays::utc(), {}});
        for (const Reading& r : log) ASSERT_TRUE(w.append(r).has_value());
        ASSERT_TRUE(w.close().has_value());
    }
    std::vector<Reading> readings() { return readings({INT64_MIN, INT64_MAX}); }
    std::vector<Reading> readings(Span span) {
        const Reader reader = must(Reader::open(file_));
        std::vector<Reading> found;
        const auto visited = reader.visit(span, [&](const ledger::Columns& c, std::size_t i, std::size_t end) {
            for (; i < end; ++i) found.push_back(c.reading(i));
        });
        EXPECT_TRUE(visited.has_value()) << visited.error().message;
        return found;
    }

    std::filesystem::path folder_;
    std::filesystem::path file_;
};

}  // namespace amphora::record
